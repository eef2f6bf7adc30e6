package edtf

import (
	"fmt"
)

// Base is the day from which a spreadsheet counts its dates.
type Base uint8

// The two bases in use. Base1900 counts a 29 February 1900 that never was, so
// from 1900-03-01 on a serial is one more than the days passed.
const (
	Base1900 Base = iota
	Base1904
)

// BaseShift is the number of days between the two bases: 1,462, four years and a
// day.
const BaseShift = 1462

// FromSerial turns a spreadsheet's day number into a day. Serial 60 of Base1900
// is the day that never was, and an error, as is a number outside the years to
// 9999.
func FromSerial(serial int, base Base) (Day, error) {
	start := NewDay(1904, 1, 1)
	if base == Base1900 {
		start = NewDay(1899, 12, 31)
		switch {
		case serial == 60:
			return Day{}, fmt.Errorf("serial 60 stands for 1900-02-29, a day that never was; it is 1900-02-28 or 1900-03-01")
		case serial > 60:
			start = NewDay(1899, 12, 30)
		}
	}
	day := start.AddDays(serial)
	if serial < 0 || day.IsZero() {
		return Day{}, fmt.Errorf("%d is not the number of a day in a spreadsheet", serial)
	}
	return day, nil
}

// SheetDate is a date as a spreadsheet shows it, and where another paper tells
// it, the day it ought to be.
type SheetDate struct {
	Shown Day
	Known Day // the zero Day if nothing else tells it
}

// BaseSuspicion is a suspicion that a file was read with the wrong base. It is
// offered with its evidence, and never applied unasked.
type BaseSuspicion struct {
	Shift    int // days to add to every date shown: BaseShift or -BaseShift
	Evidence []string
}

// SuspectBase looks for the mistake of the other base in the dates of one file.
// It is suspected where every known date is off by 1,462 days the same way; or,
// where none is known, where a date shown lies outside the days on which the work
// can have been done and all of them lie inside after the shift. notBefore and
// notAfter may be the zero Day if nobody knows.
func SuspectBase(dates []SheetDate, notBefore, notAfter Day) (BaseSuspicion, bool) {
	for _, shift := range []int{BaseShift, -BaseShift} {
		evidence, known := knownEvidence(dates, shift)
		if known == 0 {
			evidence = windowEvidence(dates, shift, notBefore, notAfter)
		}
		if len(evidence) > 0 {
			return BaseSuspicion{Shift: shift, Evidence: evidence}, true
		}
	}
	return BaseSuspicion{}, false
}

// knownEvidence lists the pairs that are off by the shift; none, if one is not.
func knownEvidence(dates []SheetDate, shift int) (evidence []string, known int) {
	agrees := true
	for _, d := range dates {
		if d.Known.IsZero() || d.Shown.IsZero() {
			continue
		}
		known++
		agrees = agrees && d.Known.Sub(d.Shown) == shift
		evidence = append(evidence, fmt.Sprintf("%s is shown where another paper says %s, %d days apart", d.Shown, d.Known, d.Known.Sub(d.Shown)))
	}
	if !agrees {
		evidence = nil
	}
	return evidence, known
}

// windowEvidence lists the dates that are impossible as shown and possible after
// the shift; none, if one would be impossible after it.
func windowEvidence(dates []SheetDate, shift int, notBefore, notAfter Day) []string {
	var evidence []string
	for _, d := range dates {
		if d.Shown.IsZero() {
			continue
		}
		moved := d.Shown.AddDays(shift)
		if moved.IsZero() || !inside(moved, notBefore, notAfter) {
			return nil
		}
		if !inside(d.Shown, notBefore, notAfter) {
			evidence = append(evidence, fmt.Sprintf("%s can't be; %d days later it is %s, which can", d.Shown, shift, moved))
		}
	}
	return evidence
}

// inside treats a zero end as open.
func inside(d, notBefore, notAfter Day) bool {
	return (notBefore.IsZero() || d.Compare(notBefore) >= 0) && (notAfter.IsZero() || d.Compare(notAfter) <= 0)
}
