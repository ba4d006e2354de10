package rulebook

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
)

// designRules is the table of design section 5.
var designRules = map[Severity]string{
	Danger: `accepted-section-occupied accepted-twice accepted-clearing-point-fouled accepted-while-blocked
		accepted-condition-unmet offered-before-out-of-section entered-without-acceptance wrong-train-entered
		out-of-section-train-not-arrived out-of-section-tail-lamp-not-seen out-of-section-clearing-point-fouled
		not-blocked-back obstruction-danger-not-sent cancelled-after-entering tail-lamp-not-reported
		token-out-without-release token-already-out token-number-differs token-wrong-section token-not-in-instrument
		out-of-section-token-not-in opposing-acceptance token-count-differs ticket-without-staff staff-elsewhere
		reminder-removed-early`,
	Irregular: `restricted-acceptance-not-allowed entering-not-sent out-of-section-no-train call-attention-omitted
		not-acknowledged acknowledged-wrongly code-unknown code-not-authorised reminder-missing box-closed
		nobody-on-duty not-qualified handover-incomplete entry-late entry-out-of-order clock-unchecked
		correction-unsigned clock-offset bell-missing bell-differs time-differs acceptance-differs`,
	Advice: `token-low-stock train-overdue train-detained`,
}

// moreRules were added in the same manner.
var moreRules = map[Severity]string{
	Danger: `entered-without-token token-in-before-arrival token-in-at-sending-end token-drawn-before-closed
		token-lost-or-damaged blocking-back-train-signalled train-not-warned signal-off-without-line-clear
		signal-train-ahead line-clear-not-accepted line-clear-withdrawn indicator-not-train-on-line
		token-cancelled-while-out acceptance-not-offered train-on-shunt-token testing-while-signalled
		closed-while-signalled wrong-side-signal working-by-message-no-message gear-disconnected-train-passed
		counter-reset-train-in-section section-freed-no-train shunt-key-train-signalled wrong-train-reported pilot-missing loop-signal-early authority-before-crossing section-not-proved-clear
		obstruction-danger-not-removed accepted-converging accepted-both-ways following-interval-short token-handed-on blockage-train-in-section out-of-gauge-opposed
		shut-in-not-reported shared-section-token-out entered-while-blocked shunt-not-back stop-and-examine-omitted
		cancelled-train-not-held worked-with-token-lost
		crossing-train-approaching crossing-train-let-towards crossing-not-protected crossing-next-box-not-held
		crossing-not-cautioned crossing-in-doubt crossing-opened-train-coming crossing-open-signal-cleared
		crossing-local-signals-off crossing-keeper-not-assured crossing-opened-line-clear crossing-obstructed-train-sent
		signalled-during-alarm ticket-not-recovered ticket-no-line-clear release-train-in-section blockage-party-not-clear assisting-engine-in-section`,
	Irregular: `offered-while-blocked indicator-not-line-clear indicator-not-normal entering-twice cancelled-nothing
		shunt-not-authorised shunt-not-withdrawn shunt-release-not-asked running-time-short
		token-not-told line-not-examined wrong-description-not-followed refused-without-reason train-number-missing counter-not-proved private-number-missing private-number-repeated
		disconnection-not-countersigned token-issued-before-surrender tail-lamp-out-not-reported nothing-to-remove
		closed-without-signal cancelling-not-sent entry-before-duty worked-before-reconnection row-left-open
		warning-arrangement-omitted signal-off-twice cancelled-signal-off step-not-booked train-name-differs name-differs movement-differs book-part-missing
		crossing-not-reported-clear crossing-call-incomplete crossing-not-asked crossing-keeper-not-told
		crossing-attendant-not-told crossing-attendant-unnamed crossing-open-failure-booked clock-jumped
		train-not-described described-out-of-order release-not-told release-incomplete duty-without-pin entry-not-countersigned countersigned-by-own-hand counter-differs party-not-protected party-differs authority-incomplete occupation-key-differs
		trains-not-together detained-entry-incomplete examination-not-booked unfit-train-sent message-not-delivered points-not-secured ground-frame-out between-box-signalled`,
	Advice: `permissive-passenger permissive-not-warned permissive-too-many restricted-acceptance-passenger train-name-assumed place-full call-attention-needless
		crossing-maybe-large crossing-second-user crossing-nothing-allowed crossing-word-of-user crossing-many-calls
		crossing-call-between crossing-closed-long`,
}

func TestCatalogueHasTheDesignsRules(t *testing.T) {
	listed := map[RuleID]bool{}
	for _, table := range []map[Severity]string{designRules, moreRules} {
		for severity, ids := range table {
			for _, id := range strings.Fields(ids) {
				r, ok := RuleNamed(RuleID(id))
				if !ok {
					t.Errorf("no rule %s", id)
					continue
				}
				if r.Severity != severity {
					t.Errorf("%s is %s, want %s", id, r.Severity, severity)
				}
				listed[r.ID] = true
			}
		}
	}
	for _, r := range Rules() {
		if !listed[r.ID] {
			t.Errorf("%s is in the catalogue and in neither table: add it with its severity", r.ID)
		}
	}
}

func TestEveryRuleIsCompleteAndUnique(t *testing.T) {
	form := regexp.MustCompile(`^[a-z]+(-[a-z]+)+$`)
	seen, said := map[RuleID]bool{}, map[string]RuleID{}
	for _, r := range Rules() {
		if !form.MatchString(string(r.ID)) {
			t.Errorf("id %q is not words joined by hyphens", r.ID)
		}
		if seen[r.ID] {
			t.Errorf("%s stands twice", r.ID)
		}
		seen[r.ID] = true
		if other, twice := said[r.What]; twice {
			t.Errorf("%s and %s say the same", r.ID, other)
		}
		said[r.What] = r.ID
		if !published(r.Ref) {
			t.Errorf("%s: reference %q", r.ID, r.Ref)
		}
	}
}

// A finding is read out at night: short sentences, plain words, no beats (they
// differ by rule set) and no shorthand.
func TestRulesReadWell(t *testing.T) {
	digits := regexp.MustCompile(`[0-9]`)
	shorthand := regexp.MustCompile(`\b[A-Z]{2,}\b`)
	for _, r := range Rules() {
		for part, text := range map[string]string{"what": r.What, "why": r.Why, "do": r.Do} {
			first := []rune(text + " ")[0]
			if !unicode.IsUpper(first) || !strings.HasSuffix(text, ".") {
				t.Errorf("%s %s: %q is no sentence", r.ID, part, text)
			}
			if n := strings.Count(text, ". ") + 1; n > 2 {
				t.Errorf("%s %s has %d sentences", r.ID, part, n)
			}
			if len(text) > 160 {
				t.Errorf("%s %s is %d characters long", r.ID, part, len(text))
			}
			if digits.MatchString(text) || shorthand.MatchString(text) {
				t.Errorf("%s %s: %q has figures or shorthand", r.ID, part, text)
			}
		}
	}
}

// Rules of single lines rest on single-line sources, never on the absolute block.
func TestSingleLineRulesCiteSingleLineSources(t *testing.T) {
	for _, r := range singleRules {
		if r.Ref == FromMemory || r.Ref == CommonPractice {
			continue
		}
		for _, absolute := range []string{"TS3", "Block system", refWinwick, refHawes, refShrivenham, refGreatNorth} {
			if strings.Contains(r.Ref, absolute) {
				t.Errorf("%s cites %q", r.ID, absolute)
			}
		}
	}
}

func TestRuleNamedKnowsOnlyRules(t *testing.T) {
	if r, ok := RuleNamed("no-such-rule"); ok || r.ID != "" {
		t.Errorf("found %v", r)
	}
}

// A value from memory is never a danger.
func TestNoDangerFromMemory(t *testing.T) {
	for _, name := range RuleSetNames() {
		set := RuleSetNamed(name)
		for _, r := range Rules() {
			for _, single := range []bool{false, true} {
				if r.Severity == Danger && set.Cite(r, single) == FromMemory {
					t.Errorf("%s: %s is a danger from memory alone", name, r.ID)
				}
			}
		}
	}
}

// A finding names the publication and clause that a signaller knows, never the
// address it was read at; and a British box is not shown an Indian rule as its own.
func TestFindingsCiteNoAddress(t *testing.T) {
	address := regexp.MustCompile(`://|www\.|\.(org|com|net|info|uk|ru|mx|us)\b`)
	for _, name := range RuleSetNames() {
		set := RuleSetNamed(name)
		for _, r := range Rules() {
			for _, single := range []bool{false, true} {
				c := set.Cite(r, single)
				if c == "" || address.MatchString(c) {
					t.Errorf("%s, %s: %q", name, r.ID, c)
				}
				indian := slices.ContainsFunc(indianBooks, func(w string) bool { return strings.Contains(c, w) })
				if name != "indian-general" && indian && !strings.HasPrefix(c, "no British text found; as ") {
					t.Errorf("%s, %s: %q reads as a British rule", name, r.ID, c)
				}
			}
			if r.Ref != CommonPractice && r.Ref != FromMemory && !strings.Contains(r.Ref, "://") {
				t.Errorf("%s: where %q was read is not told", r.ID, r.Ref)
			}
		}
	}
}
