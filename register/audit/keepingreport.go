package audit

// Keeping is how the book was kept.
type Keeping struct {
	Late        []LateBucket `json:"late"`
	Transcribed int64        `json:"transcribed"` // entries copied from another source

	Batches    []Batch `json:"batches"` // entries written together of events far apart
	BatchCount int64   `json:"batch_count"`

	Corrections     []Correction `json:"corrections"`
	CorrectionCount int64        `json:"correction_count"`

	OutOfOrder   int64 `json:"out_of_order"` // findings, as are the next four
	BeforeDuty   int64 `json:"before_duty"`
	NobodyOnDuty int64 `json:"nobody_on_duty"`
	Unsigned     int64 `json:"corrections_unsigned"`
	Handovers    int64 `json:"handovers_incomplete"`

	TurnsWithoutSignOn  int64 `json:"turns_without_sign_on"` // of TurnCount
	TurnsWithoutSignOff int64 `json:"turns_without_sign_off"`

	ClockChecks       int64    `json:"clock_checks"`
	ClockMissing      []string `json:"days_without_clock_check"` // of the days with entries
	ClockMissingCount int64    `json:"days_without_clock_check_count"`
	clockMissing      string   // in words
	ClockWorst        int      `json:"clock_worst_minutes"` // largest error booked, + fast, - slow

	DayEnds     []DayEnd  `json:"day_ends"` // days at whose end trains were on hand
	DayEndCount int64     `json:"day_end_count"`
	OpenNow     []OpenRow `json:"open_at_end"` // trains on hand after the last entry

	Signatures     []Signature `json:"signatures"`
	SignatureCount int64       `json:"signature_count"`
	Visits         int64       `json:"visits"`
	UnsignedDays   int64       `json:"longest_days_without_signature"` // days with entries in a row
}

// LateBucket counts entries by how late they were written.
type LateBucket struct {
	Over  int64 `json:"over_s"`
	UpTo  int64 `json:"up_to_s"` // 0: no bound
	Count int64 `json:"count"`
}

// lateBounds are the bounds of the buckets in seconds. Ours; a minute is the
// least that a book in whole minutes can tell.
var lateBounds = [...]int64{60, 5 * 60, 15 * 60, 3600, 24 * 3600}

// Batch is a run of two or more late entries written within a minute, of events
// spread over more than five minutes. The pattern is that of the
// Quintinshill register (1915), copied in from a paper; the limits are ours.
type Batch struct {
	First   int64  `json:"first_entry"`
	Last    int64  `json:"last_entry"`
	Entries int64  `json:"entries"`
	Written Moment `json:"written"`
	From    Moment `json:"events_from"`
	To      Moment `json:"events_to"`
	Turn    string `json:"turn"`
}

// Correction is an entry that corrects another.
type Correction struct {
	Entry  int64  `json:"entry"`
	At     Moment `json:"at"`
	Turn   string `json:"turn"`
	Target int64  `json:"target"`
	Old    string `json:"old"` // the entry as it stood before
	New    string `json:"new"`
}

// DayEnd is a day at whose end trains were on hand.
type DayEnd struct {
	Day  string    `json:"day"`
	Rows []OpenRow `json:"rows"`
}

// Signature is the book examined and signed.
type Signature struct {
	Entry int64  `json:"entry"`
	At    Moment `json:"at"`
	Name  string `json:"name"`
	Role  string `json:"role"` // as the box file lists the person, empty if it does not
	Text  string `json:"text"`
}
