package sheet

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"rundown/params/date"
)

// readScalar reads a value that is one word or number.
func (v *Value) readScalar(n *Node, m *Mistakes) bool {
	switch v.Key.Kind {
	case Number, Whole:
		x, ok := readNumber(n, v.Key, m)
		v.Number = x
		return ok
	case YesNo:
		v.Yes = n.Text == "yes" || n.Text == "true"
		if n.Quoted || !slices.Contains([]string{"yes", "no", "true", "false"}, n.Text) {
			m.Add(n.Place, "found %s for %q; expected yes or no", n.Say(), v.Key.Name)
			return false
		}
		return true
	case FullDate, AnnualDate, EitherDate:
		return v.readDate(n, m)
	case Choice:
		if !slices.Contains(v.Key.Choices, n.Text) {
			m.Add(n.Place, "found %s for %q; %s", n.Say(), v.Key.Name, DidYouMean(n.Text, v.Key.Choices))
			return false
		}
		return true
	case Name:
		return properName(n, v.Key, m)
	}
	text := strings.TrimSpace(n.Text)
	switch {
	case text == "":
		m.Add(n.Place, "the text of %q is empty; write it or leave the key out", v.Key.Name)
	case strings.ContainsAny(n.Text, "\n\r"):
		m.Add(n.Place, "the text of %q runs over several lines; keep it on one", v.Key.Name)
	case strings.ContainsFunc(n.Text, unseen):
		m.Add(n.Place, "the text of %q holds %U, which is no letter but moves or breaks lines; a plan is plain text", v.Key.Name,
			[]rune(n.Text)[slices.IndexFunc([]rune(n.Text), unseen)])
	case len(n.Text) > 500:
		m.Add(n.Place, "the text of %q has %d bytes; expected at most 500", v.Key.Name, len(n.Text))
	default:
		v.Text = text
		return true
	}
	return false
}

// unseen tells of what a terminal, an editor or a spreadsheet obeys instead of
// showing: control characters, the separators of lines and paragraphs, and what turns
// the direction of writing.
func unseen(r rune) bool {
	return unicode.IsControl(r) || r == '\u2028' || r == '\u2029' || unicode.Is(unicode.Bidi_Control, r)
}

var (
	nameForm = regexp.MustCompile(namePattern)
	eppoForm = regexp.MustCompile(eppoPattern)
	notName  = regexp.MustCompile(`[^a-z0-9]+`)
)

// longestName is how many bytes a name may have that is looked up.
const longestName = 80

// properName tells whether a word may be a library name. Who looks names up knows what
// there is, and says what is nearest to a wrong one: so any words will do, unless the
// name is of something new. Weeds and crops may also be named by their EPPO code.
func properName(n *Node, k *Key, m *Mistakes) bool {
	kind := k.Library
	if n.Shape == Scalar && !n.Null && !k.New && strings.TrimSpace(n.Text) != "" && len(n.Text) <= longestName && !strings.ContainsFunc(n.Text, unseen) {
		return true
	}
	if n.Shape == Scalar && (nameForm.MatchString(n.Text) || (kind == "weeds" || kind == "crops") && eppoForm.MatchString(n.Text)) {
		return true
	}
	try := strings.Trim(notName.ReplaceAllString(strings.ToLower(n.Text), "-"), "-")
	if try == "" || n.Shape != Scalar {
		m.Add(n.Place, "found %s; expected a name: lower-case words with hyphens, such as %s", n.Say(), example(kind))
		return false
	}
	m.Add(n.Place, "found %s; a name is lower-case words with hyphens: write %s", n.Say(), try)
	return false
}

var (
	numberForm = regexp.MustCompile(`^[-+]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][-+]?[0-9]+)?$`)
	oddZero    = regexp.MustCompile(`^[-+]?0[0-9]`)
	withUnit   = regexp.MustCompile(`^([-+]?[0-9]+\.?[0-9]*) ?([a-zA-Z%£$€/°²³ ]+[-0-9]*)$`)
	withComma  = regexp.MustCompile(`^[-+]?[0-9]+,[0-9]+$`)
)

// readNumber reads a number as people write it: no octal, hexadecimal or
// underscores, no infinity, no NaN, nothing in quotation marks.
func readNumber(n *Node, k *Key, m *Mistakes) (float64, bool) {
	wrong := func(try string) (float64, bool) {
		m.Add(n.Place, "found %s for %q; expected %s%s", n.Say(), k.Name, k.number(), try)
		return 0, false
	}
	switch {
	case n.Shape != Scalar || n.Null:
		return wrong("")
	case n.Quoted:
		if numberForm.MatchString(n.Text) {
			return wrong(": leave out the quotation marks")
		}
		return wrong("")
	case !numberForm.MatchString(n.Text):
		return wrong(numberHint(n.Text, k))
	case oddZero.MatchString(n.Text):
		return wrong(": write it without the leading zero")
	}
	x, err := strconv.ParseFloat(n.Text, 64)
	switch {
	case err != nil || math.IsInf(x, 0):
		return wrong(": it is too large")
	case k.Kind == Whole && x != math.Trunc(x):
		return wrong("")
	case !k.inside(x) && k.Unit == "fraction" && x > 1 && k.inside(x/100):
		return wrong(fmt.Sprintf(": for %s of 100 write %s", Plain(x), Plain(x/100)))
	case !k.inside(x):
		return wrong("")
	}
	return x, true
}

// numberHint says what to try for text that is nearly a number.
func numberHint(text string, k *Key) string {
	switch f := withUnit.FindStringSubmatch(text); {
	case strings.Contains(text, "_"):
		return ": write " + strings.ReplaceAll(text, "_", "")
	case strings.HasPrefix(text, "0x"), strings.HasPrefix(text, "0o"), strings.HasPrefix(text, "0b"):
		return ": write it in decimal"
	case shareOf.MatchString(text) && k.Unit == "fraction":
		f := shareOf.FindStringSubmatch(text)
		some, err := strconv.ParseFloat(f[1], 64)
		if all, wrong := strconv.ParseFloat(f[2], 64); err == nil && wrong == nil && all > 0 && k.inside(some/all) {
			return ": write " + Plain(math.Round(some/all*1e4)/1e4)
		}
	case withComma.MatchString(text):
		return ": write the decimal point as a point and no commas"
	case f != nil && strings.TrimSpace(f[2]) == "%" && k.Unit == "fraction":
		if x, err := strconv.ParseFloat(f[1], 64); err == nil && k.inside(x/100) {
			return ": write " + Plain(x/100)
		}
	case f != nil:
		return ": write the number alone"
	}
	return ""
}

var (
	shareOf   = regexp.MustCompile(`^([0-9]+) *(?:of|/|out of) *([0-9]+)$`)
	looksFull = regexp.MustCompile(`^[0-9]{4}-`)
	turned    = regexp.MustCompile(`^([A-Za-z]+) ([0-9]{1,2})$`)
	inDigits  = regexp.MustCompile(`^([0-9]{1,2})[./-]([0-9]{1,2})[./-]([0-9]{4})$`)
	withYear  = regexp.MustCompile(`^([0-9]{1,2}) ([A-Za-z]+) ([0-9]{4})$`)
)

func (v *Value) readDate(n *Node, m *Mistakes) bool {
	if looksFull.MatchString(n.Text) && v.Key.Kind != AnnualDate {
		d, err := date.ParseDay(n.Text)
		if err != nil {
			m.Add(n.Place, "%v; expected %s for %q", err, v.Key.expects(), v.Key.Name)
			return false
		}
		v.Date = Date{Full: true, Day: d}
		return true
	}
	a, err := date.ParseAnnual(n.Text)
	switch {
	case v.Key.Kind == FullDate && err == nil:
		m.Add(n.Place, "found %s for %q; expected a date with its year, like 2026-08-01", n.Say(), v.Key.Name)
		return false
	case v.Key.Kind == FullDate, err != nil && dateHint(n.Text, v.Key.Kind) != "":
		m.Add(n.Place, "found %s for %q; expected %s%s", n.Say(), v.Key.Name, v.Key.expects(), dateHint(n.Text, v.Key.Kind))
		return false
	case err != nil:
		m.Add(n.Place, "%v; expected %s for %q", err, v.Key.expects(), v.Key.Name)
		return false
	}
	v.Date = Date{Annual: a}
	return true
}

// dateHint says what to write for a date in another order.
func dateHint(text string, k Kind) string {
	if f := turned.FindStringSubmatch(text); f != nil && k != FullDate {
		if a, err := date.ParseAnnual(f[2] + " " + f[1]); err == nil {
			return ": write " + a.String()
		}
	}
	if f := inDigits.FindStringSubmatch(text); f != nil && k != AnnualDate {
		first, _ := strconv.Atoi(f[1]) // all digits, so there is no error
		second, _ := strconv.Atoi(f[2])
		var tries []string
		for _, x := range [][2]int{{second, first}, {first, second}} { // day first is the commoner
			try := fmt.Sprintf("%s-%02d-%02d", f[3], x[0], x[1])
			if _, err := date.ParseDay(try); err == nil && !slices.Contains(tries, try) {
				tries = append(tries, try)
			}
		}
		if len(tries) > 0 {
			return ": write " + strings.Join(tries, " or ")
		}
	}
	if f := withYear.FindStringSubmatch(text); f != nil {
		a, err := date.ParseAnnual(f[1] + " " + f[2])
		year, _ := strconv.Atoi(f[3])
		if d, ok := a.In(year); err == nil && ok {
			if k == AnnualDate {
				return ": write " + a.String()
			}
			return ": write " + d.String()
		}
	}
	return ""
}

// rangeTable is the mapping form of an uncertain quantity.
func rangeTable(k *Key) *Table {
	point := Key{Kind: Number, Unit: k.Unit, Low: k.Low, High: k.High, Above: k.Above, Required: true}
	low, high := point, point
	low.Name, low.Doc = "low", "its 5 % point"
	high.Name, high.Doc = "high", "its 95 % point"
	return &Table{Name: "the range of " + quote(k.Name), Keys: []Key{low, high}}
}

// readUncertain reads a number or {low: 25, high: 60}, the 5 % and 95 % points
// of a lognormal distribution, whose median is their geometric mean. Where the key takes
// numbers below 0 a range may begin there; it is then of a normal distribution.
func (v *Value) readUncertain(n *Node, m *Mistakes) bool {
	if n.Shape != Map {
		x, ok := readNumber(n, &Key{Name: v.Key.Name, Kind: Number, Unit: v.Key.Unit, Low: v.Key.Low, High: v.Key.High, Above: v.Key.Above}, m)
		v.Number = x
		return ok
	}
	r := ReadAt(n, rangeTable(v.Key), v.Path, m)
	low, high := r.Get("low"), r.Get("high")
	switch {
	case low == nil || high == nil:
		return false
	case low.Number <= 0 && v.Key.Low >= 0:
		m.Add(low.Place, "the range of %q begins at %s; expected a number above 0 (for a single value write the number alone)", v.Key.Name, Plain(low.Number))
		return false
	case high.Number <= low.Number:
		m.Add(high.Place, "the range of %q ends at %s, not above its beginning %s", v.Key.Name, Plain(high.Number), Plain(low.Number))
		return false
	}
	v.Low, v.High = low.Number, high.Number
	v.Number = (v.Low + v.High) / 2
	if v.Low > 0 {
		v.Number = math.Sqrt(v.Low) * math.Sqrt(v.High)
	}
	return true
}
