package register

// ExpectedTrains are the trains of the timetable for the handover sheet. Where
// there is no timetable, or fault says why it cannot be used, the sheet says so:
// none expected would be another thing than none known.
func (b *Book) ExpectedTrains(o *Outlook, fault error) []ExpectedTrain {
	switch {
	case fault != nil:
		return append([]ExpectedTrain{{Time: o.At, Text: "not known: " + fault.Error()}}, o.Expected()...)
	case b.file.Timetable == "":
		return []ExpectedTrain{{Time: o.At, Text: "not known: " + BoxFileName + " names no timetable"}}
	}
	return o.Expected()
}
