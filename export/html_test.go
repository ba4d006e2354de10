package export

import (
	"context"
	"encoding/xml"
	"errors"
	"io"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"fairhand/register/registertest"
)

// The page holds no address that a browser would fetch.
func TestHTMLStandsAlone(t *testing.T) {
	page := written(t, "html", registertest.DemoDay(t, ".."))
	for _, m := range regexp.MustCompile(`(?i)\b(src|href|action|poster|data)\s*=\s*"([^"]*)"|url\(([^)]*)\)|@import`).FindAllStringSubmatch(page, -1) {
		if target := m[2] + m[3]; !strings.HasPrefix(target, "#") && !strings.HasPrefix(target, "data:") || m[0] == "@import" {
			t.Errorf("the page asks for %s", m[0])
		}
	}
}

// Nothing that a book holds becomes markup or script.
func TestHTMLEscapes(t *testing.T) {
	evil := `</script><script>alert(1)</script><img src=x onerror=alert(1)>" onload="x`
	d := noteDay(t, evil, "`${x}` {{.}} <!-- ]]>")
	for i := range d.Findings {
		d.Findings[i].Text = evil
	}
	d.Box.Railway = evil
	page := written(t, "html", d)
	if n := strings.Count(page, "<script>"); n != 1 {
		t.Errorf("%d scripts", n)
	}
	if strings.Contains(page, "<img") {
		t.Error("a remark became an image")
	}
}

// The page is well-formed but for the elements that HTML does not close.
func TestHTMLIsWellFormed(t *testing.T) {
	page := written(t, "html", registertest.DemoDay(t, ".."))
	page = regexp.MustCompile(`(?s)<script>.*</script>`).ReplaceAllString(page, "")
	in := xml.NewDecoder(strings.NewReader(page))
	in.Strict = false
	in.AutoClose = xml.HTMLAutoClose
	in.Entity = xml.HTMLEntity
	for {
		if _, err := in.Token(); errors.Is(err, io.EOF) {
			return
		} else if err != nil {
			t.Fatal(err)
		}
	}
}

// askedByPage finds the addresses that a page asked for in a browser's log; what
// the browser wants for itself has no origin as initiator.
func askedByPage(log string) []string {
	var out []string
	for _, line := range strings.Split(log, "\n") {
		if m := regexp.MustCompile(`"url":"((https?|wss?)://[^"]*)"`).FindStringSubmatch(line); m != nil &&
			strings.Contains(line, `"initiator":`) && !strings.Contains(line, `"initiator":"not an origin"`) {
			out = append(out, m[1])
		}
	}
	return out
}

// browser finds it, or skips the test.
func browser(t *testing.T) string {
	t.Helper()
	path, err := exec.LookPath("chromium")
	if err != nil || testing.Short() || !registertest.Depth(false, true) {
		t.Skip("chromium is not installed, or the depth is not full: it takes some seconds to start")
	}
	return path
}

// chromium runs the browser without a window, in a directory of the test's own. It
// gives what it printed, what stands on the console, and its log of what was asked for.
func chromium(t *testing.T, path, dir string, args ...string) (out, console, net string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 3*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, path, append([]string{"--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
		"--disable-background-networking", "--disable-component-update", "--disable-sync", "--host-resolver-rules=MAP * ~NOTFOUND", "--user-data-dir=" + filepath.Join(dir, "profile"),
		"--log-net-log=" + filepath.Join(dir, "net.json"), "--enable-logging=stderr"}, args...)...)
	var complaints strings.Builder
	cmd.Stderr = &complaints
	data, err := cmd.Output()
	if err != nil {
		t.Fatalf("chromium does not run: %v %s", err, complaints.String())
	}
	log, _ := os.ReadFile(filepath.Join(dir, "net.json"))
	return string(data), complaints.String(), string(log)
}

// Chromium shows the page without a complaint on its console and without asking
// any server for anything, and its filter leaves the one train that was asked for.
func TestHTMLInChromium(t *testing.T) {
	path := browser(t)
	dir := t.TempDir()
	name := filepath.Join(dir, "day.html")
	if err := os.WriteFile(name, []byte(written(t, "html", registertest.DemoDay(t, ".."))), 0o644); err != nil {
		t.Fatal(err)
	}
	show := func(name, fragment string) (dom, console, net string) {
		t.Helper()
		return chromium(t, path, dir, "--dump-dom", "file://"+name+fragment)
	}
	rows := func(dom string) (shown, hidden int) {
		for _, m := range regexp.MustCompile(`<tr class="(train[^"]*)"`).FindAllStringSubmatch(dom, -1) {
			if strings.Contains(m[1], "out") {
				hidden++
			} else {
				shown++
			}
		}
		return shown, hidden
	}
	dom, console, net := show(name, "")
	if strings.Contains(console, "CONSOLE") {
		t.Errorf("the console says %s", console)
	}
	if asked := askedByPage(net); len(asked) > 0 {
		t.Errorf("the page asked for %v", asked)
	}
	nosy := filepath.Join(dir, "nosy.html")
	if err := os.WriteFile(nosy, []byte(`<img src="http://192.0.2.1/seen.png">`), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, _, net := show(nosy, ""); len(askedByPage(net)) == 0 {
		t.Error("a page that asks for a picture was not noticed, so the check of ours means nothing")
	}
	all, hidden := rows(dom)
	if all != len(registertest.DemoDay(t, "..").Rows) || hidden != 0 {
		t.Errorf("%d trains shown, %d hidden", all, hidden)
	}
	dom, console, _ = show(name, "#train="+url.PathEscape("2A05"))
	if shown, hidden := rows(dom); shown != 1 || hidden != all-1 || strings.Contains(console, "CONSOLE") {
		t.Errorf("with the filter %d trains shown, %d hidden; console %s", shown, hidden, console)
	}
}
