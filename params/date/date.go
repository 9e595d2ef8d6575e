// Package date counts days. A Day is a civil date as one number, so that the
// model can add and compare without time zones; an Annual is a date without a
// year, as plans write it ("12 Oct").
package date

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Day is a civil (proleptic Gregorian) date: whole days since 1 January 1970.
type Day int32

// Of is the Day of a year, month and day of the month. It normalises as
// time.Date does: Of(2027, 2, 29) is 1 March 2027.
func Of(year int, month time.Month, day int) Day {
	if month < time.January || month > time.December {
		return Day(time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix() / 86400)
	}
	if month <= time.February { // years that begin in March have their odd day last
		year--
		month += 12
	}
	century := floor(year, 100)
	return Day(365*year + floor(year, 4) - century + floor(century, 4) + (153*int(month)-457)/5 + day - 719469)
}

// floor is a/b rounded down; b is positive.
func floor(a, b int) int {
	if a < 0 {
		return -((b - 1 - a) / b)
	}
	return a / b
}

// Date gives year, month and day of the month.
func (d Day) Date() (year int, month time.Month, day int) {
	return time.Unix(int64(d)*86400, 0).UTC().Date()
}

// Year is the calendar year.
func (d Day) Year() int { y, _, _ := d.Date(); return y }

// YearDay is 1 on 1 January, 365 or 366 on 31 December.
func (d Day) YearDay() int { return time.Unix(int64(d)*86400, 0).UTC().YearDay() }

// String writes the date as 2026-08-01.
func (d Day) String() string {
	y, m, day := d.Date()
	return fmt.Sprintf("%04d-%02d-%02d", y, int(m), day)
}

// Short writes the date as farmers do: 1 Aug 2026.
func (d Day) Short() string {
	y, m, day := d.Date()
	return fmt.Sprintf("%d %s %d", day, m.String()[:3], y)
}

// Leap tells whether a year has a 29 February.
func Leap(year int) bool { return year%4 == 0 && (year%100 != 0 || year%400 == 0) }

// Annual is a date without a year.
type Annual struct {
	Month time.Month // 1..12
	Day   int        // 1..31
}

// String writes the date as plans do: 12 Oct.
func (a Annual) String() string { return fmt.Sprintf("%d %s", a.Day, a.Month.String()[:3]) }

// In is the date in one year; ok is false for 29 February of a common year.
func (a Annual) In(year int) (d Day, ok bool) {
	if a.Month == time.February && a.Day == 29 && !Leap(year) {
		return 0, false
	}
	return Of(year, a.Month, a.Day), true
}

// OnOrAfter is the first such date on or after a day. For 29 February in a
// common year ok is false and d is 1 March.
func (a Annual) OnOrAfter(from Day) (d Day, ok bool) {
	y := from.Year()
	d, ok = a.In(y)
	if !ok {
		d = Of(y, time.March, 1)
	}
	if d >= from {
		return d, ok
	}
	d, ok = a.In(y + 1)
	if !ok {
		d = Of(y+1, time.March, 1)
	}
	return d, ok
}

// YearDay is the day of a common year: 1 on 1 January, 365 on 31 December;
// 29 February counts as 60 like 1 March.
func (a Annual) YearDay() int { return Of(2001, a.Month, a.Day).YearDay() }

// AnnualOf is the date of a day of a common year (1..365).
func AnnualOf(yearDay int) Annual {
	_, m, d := (Of(2001, time.January, 1) + Day(yearDay-1)).Date()
	return Annual{m, d}
}

var monthLengths = [13]int{0, 31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// ParseAnnual reads "12 Oct" or "12 October".
func ParseAnnual(s string) (Annual, error) {
	f := strings.Fields(s)
	if len(f) != 2 {
		return Annual{}, fmt.Errorf("%q is not a date like 12 Oct", s)
	}
	day, err := strconv.Atoi(f[0])
	if err != nil || len(f[0]) > 2 {
		return Annual{}, fmt.Errorf("%q is not a date like 12 Oct", s)
	}
	for m := time.January; m <= time.December; m++ {
		name := m.String()
		if strings.EqualFold(f[1], name) || strings.EqualFold(f[1], name[:3]) {
			if day < 1 || day > monthLengths[m] {
				return Annual{}, fmt.Errorf("%s has no day %d", name, day)
			}
			return Annual{m, day}, nil
		}
	}
	return Annual{}, fmt.Errorf("%q is not the name of a month", f[1])
}

// ParseDay reads 2026-08-01.
func ParseDay(s string) (Day, error) {
	if len(s) != 10 || s[4] != '-' || s[7] != '-' {
		return 0, fmt.Errorf("%q is not a date like 2026-08-01", s)
	}
	t, err := time.Parse("2006-01-02", s)
	if err != nil {
		return 0, fmt.Errorf("there is no date %s", s)
	}
	if t.Year() < 1900 || t.Year() > 2200 {
		return 0, fmt.Errorf("%s is outside the years 1900 to 2200", s)
	}
	return Day(t.Unix() / 86400), nil
}

// ParseSpoken reads "14 Apr 2027" or "14 April 2027", as people write a day with its year.
func ParseSpoken(s string) (Day, error) {
	at := strings.LastIndexAny(s, " \t")
	if at < 0 {
		return 0, fmt.Errorf("%q is not a date like 14 Apr 2027", s)
	}
	a, err := ParseAnnual(s[:at])
	if err != nil {
		return 0, err
	}
	return ParseDay(fmt.Sprintf("%s-%02d-%02d", s[at+1:], a.Month, a.Day))
}
