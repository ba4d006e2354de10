package tui

import (
	"strings"
	"testing"
)

// Key d tells every train in a section: also one that is due later than it looks ahead, and
// one of a kind for which the box gives no running time. It said nothing of either.
func TestDueTellsEveryTrainInSection(t *testing.T) {
	r := newRig(t, "six.yaml", 80, 24, Options{})
	r.log(duty...).log("09:56 Brockholm <1 >1 <3-2 >3-2 train 6K20", "09:58 Brockholm <2 >2 train 6K20",
		`09:57 "Quarry Head" staff here`, `09:57 "Quarry Head" >1 <1 >3-1 <3-1 train 2Q10`, `09:58 "Quarry Head" staff to train 2Q10`, `09:58 "Quarry Head" >2 <2 train 2Q10`).at("10:00").press("d")
	r.want("6K20     Brockholm, Down Main, since 09:58, due out by 10:25\n").
		want("2Q10     Quarry Head, Quarry line, since 09:58, due out by 10:18; the box gives\n    no running time for passenger: 10 min taken")
	r.press("Esc").at("10:09").log(`10:06 train 6K20 arrived at Yard complete`, "10:08 Brockholm >1 <1 >2-1 <2-1 train 6K20").at("10:09").press("d")
	if strings.Contains(r.text(), "6K20     Brockholm") {
		t.Errorf("a train that is out is told:\n%s", r.text())
	}
}
