package folder

import "aplomb/internal/practice"

// MaxFaults is how many faults of one file are listed before the list is cut.
const MaxFaults = 100

// list gathers the faults of one file, in the order they are met.
type list struct {
	file    string
	faults  practice.Faults
	stopped bool // there is no use in reading on
}

// add notes a fault at a line. Past [MaxFaults] it says once that the list was
// cut, and takes no more.
func (l *list) add(line int, f practice.Fault) {
	switch {
	case len(l.faults) > MaxFaults:
		return
	case len(l.faults) == MaxFaults:
		f = practice.Fault{Code: practice.TooMany}
	}
	f.File, f.Line = l.file, line
	l.faults = append(l.faults, f)
}

// full says whether the list was cut or the reading stopped: there is no use in
// reading on.
func (l *list) full() bool { return l.stopped || len(l.faults) > MaxFaults }

// has says whether a fault with this code was noted.
func (l *list) has(code practice.Code) bool {
	for i := range l.faults {
		if l.faults[i].Code == code {
			return true
		}
	}
	return false
}
