package dishfile

import (
	"errors"
	"fmt"
	"reflect"
	"strconv"
	"strings"
)

func quote(s string) string { return strconv.Quote(shorten(s)) }

// si is a checked quantity in its base unit; 0 if it is not given.
func si(q quantity) float64 {
	v, err := q.SI()
	if err != nil {
		return 0
	}
	return v
}

// values checks every quantity and number of a value that is given by itself: that it
// can be read, and is within the range of its field.
func (r *report) values(v reflect.Value, key string, limits string, depth int) {
	if depth > 2*maxDepth { // a File made by a program may hold itself
		r.add(key, "tables nested too deeply", fmt.Sprintf("at most %d", maxDepth))
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			r.values(v.Elem(), key, limits, depth+1)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			f := v.Type().Field(i)
			if !f.IsExported() {
				continue
			}
			r.values(v.Field(i), below(key, keyOf(f)), f.Tag.Get("in"), depth+1)
		}
	case reflect.Slice:
		for i := range v.Len() {
			r.values(v.Index(i), item(key, i), limits, depth+1)
		}
	case reflect.Map:
		for _, k := range sorted(v) {
			r.values(v.MapIndex(reflect.ValueOf(k)), below(key, k), limits, depth+1)
		}
	case reflect.String:
		r.text(v, key, limits)
	case reflect.Float64:
		r.within(key, v.Float(), fmt.Sprint(v.Float()), limits, "")
	case reflect.Int:
		r.within(key, float64(v.Int()), fmt.Sprint(v.Int()), limits, "")
	}
}

func (r *report) text(v reflect.Value, key, limits string) {
	var err error
	x := 0.0
	if v.String() == "" {
		return
	}
	q, isQuantity := v.Interface().(quantity)
	switch t := v.Interface().(type) {
	case quantity:
		x, err = t.SI()
	case Humidity:
		_, err = t.parse()
	case Place:
		_, _, err = t.parse()
	}
	if t, ok := errors.AsType[*textError](err); ok {
		r.add(key, t.problem, t.want)
	} else if isQuantity {
		unit := " " + q.base()
		if p, ok := q.(Pressure); ok {
			unit += p.meant(limits)
		}
		r.within(key, x, quote(v.String()), limits, unit)
	}
}

// meant names the units with which the number of a pressure would be within limits: the
// same weather is 1013 or 101.3 or 1.013, and each is taken for the others.
func (q Pressure) meant(limits string) string {
	m := measure.FindStringSubmatch(pressures.plain(string(q)))
	if m == nil {
		return ""
	}
	x, _ := number(m[1])
	var fit []string
	for _, u := range pressures.units {
		if low, high, ok := bounds(limits); ok && x*u.scale >= low && x*u.scale <= high {
			fit = append(fit, "'"+m[1]+" "+u.name+"'")
		}
	}
	if fit == nil {
		return ""
	}
	return "; perhaps " + strings.Join(fit, " or ") + " is meant"
}

// bounds takes a range 'lo,hi' apart.
func bounds(limits string) (low, high float64, ok bool) {
	lo, hi, ok := strings.Cut(limits, ",")
	low, _ = strconv.ParseFloat(lo, 64)
	high, _ = strconv.ParseFloat(hi, 64)
	return low, high, ok
}

// within holds a value to the range 'lo,hi' of its field.
func (r *report) within(key string, x float64, shown, limits, unit string) {
	low, high, ok := bounds(limits)
	if ok && !(x >= low && x <= high) {
		lo, hi, _ := strings.Cut(limits, ",")
		r.add(key, shown+" is out of range", fmt.Sprintf("%s to %s%s", lo, hi, unit))
	}
}
