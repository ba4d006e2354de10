// Package busy has an invented box with regular traffic, as much of it as a test wants, and
// tells what a test spends. It imports nothing of ours, so that the tests of each package can.
package busy

import (
	"fmt"
	"os"
	"runtime"
	"strconv"
	"strings"
)

// Box is the description of the box: token one way, absolute block the other. It ends where
// another key can follow.
const Box = `
railway: Thrackley Vale Railway
box: Ennerholme
timezone: Europe/London
rules: british-later
sections:
  - neighbour: Coldbeck
    method: token
    lines: [{name: Single}]
    towards: down
    tokens: {charge: "1-12", here: "1-6"}
  - neighbour: Saltgarth
    method: absolute
    lines: [{name: Up Main, way: out}, {name: Down Main, way: in}]
    towards: up
places:
  - {name: Platform 1, holds: 1, beyond-home: {Saltgarth: 460}}
`

// Hour is two trains, one each way, all regular, as a format of one number: the hour, by
// which their names are numbered too.
const Hour = `%02[1]d:00 Saltgarth <1 >1 <3-1 >3-1 train 2P%02[1]d
%02[1]d:02 Saltgarth <2 >2
%02[1]d:03 Coldbeck >1 <1 >3-1 <3-1 train 2P%02[1]d
%02[1]d:04 Coldbeck token 1 out
%02[1]d:06 train 2P%02[1]d arrived at "Platform 1" complete
%02[1]d:06 Saltgarth >1 <1 >2-1 <2-1
%02[1]d:07 Coldbeck token 1 to train 2P%02[1]d
%02[1]d:08 Coldbeck >2 <2
%02[1]d:17 Coldbeck <1 >1 <2-1 >2-1
%02[1]d:20 Coldbeck <1 >1 <3-1 >3-1 train 2C%02[1]d
%02[1]d:21 Coldbeck token 1 out
%02[1]d:22 Coldbeck <2 >2
%02[1]d:24 Saltgarth >1 <1 >3-1 <3-1 train 2C%02[1]d
%02[1]d:31 train 2C%02[1]d arrived at "Platform 1" complete
%02[1]d:31 Coldbeck token 1 in
%02[1]d:31 Coldbeck >1 <1 >2-1 <2-1
%02[1]d:33 Saltgarth >2 <2
%02[1]d:38 Saltgarth <1 >1 <2-1 >2-1
`

// Mallocs is how many objects the process has had memory for.
func Mallocs() uint64 {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.Mallocs
}

// PeakMB is the largest resident size of the process, in megabytes, since it began or since
// the peak was last cleared; 0 if unknown.
func PeakMB() float64 {
	status, _ := os.ReadFile("/proc/self/status")
	for line := range strings.Lines(string(status)) {
		var kb float64
		if n, _ := fmt.Sscanf(line, "VmHWM: %f kB", &kb); n == 1 {
			return kb / 1024
		}
	}
	return 0
}

// Processor is the time of all processors that the process has taken, in seconds; 0 if
// unknown. What others take of them is not in it.
func Processor() float64 {
	stat, _ := os.ReadFile("/proc/self/stat")
	_, rest, _ := strings.Cut(string(stat), ") ") // the name of the program may have blanks
	if fields := strings.Fields(rest); len(fields) > 12 {
		user, _ := strconv.ParseFloat(fields[11], 64)
		system, _ := strconv.ParseFloat(fields[12], 64)
		return (user + system) / 100 // ticks of a hundredth, whatever the kernel counts in
	}
	return 0
}
