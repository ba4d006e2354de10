package audit

import "testing"

func TestMinutes(t *testing.T) {
	for s, want := range map[int64]string{
		0: "0 min", 30: "½ min", 60: "1 min", 90: "1½ min", 75: "1:15 min", 45: "0:45 min", 3600: "60 min", -120: "-2 min",
		7200: "2 h", 7260: "2 h 01", 55080: "15 h 18", 86400: "24 h", 6000: "100 min",
	} {
		if got := Length(s); got != want {
			t.Errorf("%d seconds: %q, want %q", s, got, want)
		}
	}
}
