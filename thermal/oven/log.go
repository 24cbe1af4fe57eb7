package oven

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"sort"
	"strconv"
	"strings"
	"time"

	"example.com/thawfront/thermal"
)

// Log is what was measured in an oven while something cooked. With In it is the medium of
// a stage.
type Log struct {
	points []LogPoint
	walls  bool
}

// LogPoint is one line of a log.
type LogPoint struct {
	Time  float64 // [s] since the start of the stage
	Air   float64 // [°C]
	Walls float64 // [°C] NaN if not measured
}

// LogError is a fault in a log.
type LogError struct {
	File  string // the name given to ReadLog
	Line  int    // counted from 1; of NewLog the number of the point; 0 for all of it
	Field string
	Want  string
	Cause error // of the CSV reader, if any
}

// Error names the file, the line, the field and what is wanted.
func (e *LogError) Error() string {
	if e == nil {
		return "oven: no fault"
	}
	at := e.File
	if e.Line > 0 {
		at = fmt.Sprintf("%s:%d", e.File, e.Line)
	}
	if e.Cause != nil {
		return fmt.Sprintf("oven: %s: %v", at, e.Cause)
	}
	return fmt.Sprintf("oven: %s: %s, want %s", at, e.Field, e.Want)
}

// Unwrap gives the cause.
func (e *LogError) Unwrap() error {
	if e == nil {
		return nil
	}
	return e.Cause
}

// Bounds of a log.
const (
	maxLogPoints  = 1_000_000
	maxLogColumns = 100
	maxLogBytes   = 64 << 20
	maxLogLine    = 64 << 10
	maxLogTime    = 400 * 24 * 3600 // [s]
)

// NewLog makes a log of points in order of time; the walls are in all of them or, NaN, in none.
func NewLog(points []LogPoint) (*Log, error) { return newLog("log", points, nil) }

func newLog(name string, points []LogPoint, lines []int) (*Log, error) {
	if n := len(points); n < 2 || n > maxLogPoints {
		return nil, &LogError{File: name, Field: fmt.Sprintf("%d points", n), Want: fmt.Sprintf("2 to %d", maxLogPoints)}
	}
	l := &Log{points: append([]LogPoint(nil), points...), walls: !math.IsNaN(points[0].Walls)}
	for i, p := range points {
		line := i + 1
		if lines != nil {
			line = lines[i]
		}
		fault := func(field string, v float64, want string) error {
			return &LogError{File: name, Line: line, Field: fmt.Sprintf("%s %g", field, v), Want: want}
		}
		switch {
		case !(p.Time >= 0 && p.Time <= maxLogTime):
			return nil, fault("time", p.Time, fmt.Sprintf("0 to %d s", maxLogTime))
		case i > 0 && p.Time <= points[i-1].Time:
			return nil, fault("time", p.Time, fmt.Sprintf("one after the %g s before", points[i-1].Time))
		case !(p.Air >= -100 && p.Air <= 1000):
			return nil, fault("air", p.Air, "-100 to 1000 °C")
		case l.walls != !math.IsNaN(p.Walls), l.walls && !(p.Walls >= -100 && p.Walls <= 1000):
			return nil, fault("walls", p.Walls, "-100 to 1000 °C, in all lines or in none")
		}
	}
	return l, nil
}

// ReadLog reads a log from CSV: a first line of names, time_s and air_C in any order, if
// known wall_C, other columns left alone; then numbers, at most a million lines and 64 MB,
// and 64 kB a line. Name is what errors call the file; they are *LogError.
func ReadLog(name string, from io.Reader) (*Log, error) {
	if from == nil {
		return nil, &LogError{File: name, Field: "reader none", Want: "one of the log's text"}
	}
	limited := &io.LimitedReader{R: &shortLines{from: from}, N: maxLogBytes + 1}
	in := csv.NewReader(limited)
	in.ReuseRecord, in.TrimLeadingSpace = true, true
	head, err := in.Read()
	if errors.Is(err, io.EOF) {
		return nil, &LogError{File: name, Line: 1, Field: "no text", Want: "a line of names, time_s and air_C among them"}
	}
	if err != nil {
		return nil, &LogError{File: name, Line: 1, Cause: readFault(err)}
	}
	if len(head) > maxLogColumns {
		return nil, &LogError{File: name, Line: 1, Field: fmt.Sprintf("%d columns", len(head)), Want: fmt.Sprintf("at most %d", maxLogColumns)}
	}
	columns := [3]int{-1, -1, -1}
	for i, h := range head {
		for k, known := range []string{"time_s", "air_C", "wall_C"} {
			if strings.TrimSpace(strings.TrimPrefix(h, "\ufeff")) != known {
				continue
			}
			if columns[k] >= 0 {
				return nil, &LogError{File: name, Line: 1, Field: "column " + known + " twice", Want: "it once"}
			}
			columns[k] = i
		}
	}
	if columns[0] < 0 || columns[1] < 0 {
		return nil, &LogError{File: name, Line: 1, Field: fmt.Sprintf("columns %.200q", head), Want: "time_s and air_C among them"}
	}
	var points []LogPoint
	var lines []int
	for line := 1; ; {
		row, err := in.Read()
		if errors.Is(err, io.EOF) && limited.N > 0 {
			break
		}
		if err == nil {
			line, _ = in.FieldPos(0)
		} else if limited.N > 0 {
			return nil, &LogError{File: name, Line: faultLine(err, line+1), Cause: readFault(err)}
		}
		if limited.N <= 0 || len(points) == maxLogPoints {
			return nil, &LogError{File: name, Line: line, Field: "length", Want: fmt.Sprintf("at most %d lines and %d MB", maxLogPoints, maxLogBytes>>20)}
		}
		v := [3]float64{math.NaN(), math.NaN(), math.NaN()}
		for k, c := range columns {
			if c < 0 {
				continue
			}
			x, err := strconv.ParseFloat(strings.TrimSpace(row[c]), 64)
			if err != nil || math.IsNaN(x) {
				return nil, &LogError{File: name, Line: line, Field: fmt.Sprintf("%s %.40q", []string{"time_s", "air_C", "wall_C"}[k], row[c]), Want: "a number"}
			}
			v[k] = x
		}
		points, lines = append(points, LogPoint{v[0], v[1], v[2]}), append(lines, line)
	}
	return newLog(name, points, lines)
}

// shortLines refuses lines so long that they would fill the memory.
type shortLines struct {
	from io.Reader
	long int // bytes of the line so far
}

var errLongLine = fmt.Errorf("a line of more than %d kB", maxLogLine>>10)

func (s *shortLines) Read(p []byte) (int, error) {
	n, err := s.from.Read(p)
	for _, c := range p[:n] {
		if s.long++; c == '\n' {
			s.long = 0
		}
		if s.long > maxLogLine {
			return 0, errLongLine
		}
	}
	return n, err
}

// faultLine is the line of a fault, or one that is as good where the reader does not say.
func faultLine(err error, line int) int {
	if parse, ok := errors.AsType[*csv.ParseError](err); ok {
		return parse.Line
	}
	return line
}

// readFault leaves out of a CSV error the line that LogError names.
func readFault(err error) error {
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		return parse.Err
	}
	return err
}

// Points are those of the log.
func (l *Log) Points() []LogPoint {
	if l == nil {
		return nil
	}
	return append([]LogPoint(nil), l.points...)
}

// at is the log on straight lines between its points, and beyond them as at its ends.
func (l *Log) at(t float64) (air, walls float64) {
	p := l.points
	i := sort.Search(len(p), func(i int) bool { return p[i].Time >= t })
	a, b, w := p[max(i-1, 0)], p[min(i, len(p)-1)], 0.0
	if i > 0 && i < len(p) {
		w = (t - a.Time) / (b.Time - a.Time)
	}
	air = a.Air + w*(b.Air-a.Air)
	if l.walls {
		return air, a.Walls + w*(b.Walls-a.Walls)
	}
	return air, air
}

// In is the medium that the log describes, with the rest of what a surface meets as in
// like: its coefficient, emissivity and humidity. Between its points it is on straight lines,
// before the first and after the last as at them. Where it has no walls they are as warm as
// the air.
func (l *Log) In(like thermal.Surroundings) thermal.Medium { return &logged{l, like} }

type logged struct {
	log  *Log
	like thermal.Surroundings
}

// At is what was measured.
func (m *logged) At(t time.Duration) thermal.Surroundings {
	s := m.like
	if m.log == nil || len(m.log.points) == 0 {
		s.Fluid = math.NaN() // refused
		return s
	}
	s.Fluid, s.Walls = m.log.at(t.Seconds())
	return s
}

// seconds is t [s] as a Duration.
func seconds(t float64) time.Duration { return time.Duration(math.Round(t * 1e9)) }
