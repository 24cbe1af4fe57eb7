package materials

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// Limits of a table of foods.
const (
	maxRows      = 10000
	maxLineBytes = 8192
)

// TableError is a fault in a table of foods.
type TableError struct {
	Line   int    // of the file, from 1
	Column string // name of the column, empty for a fault of the whole line
	Err    error
}

// Error gives the line, the column and the fault.
func (e *TableError) Error() string {
	if e.Column == "" {
		return fmt.Sprintf("materials: table line %d: %v", e.Line, e.Err)
	}
	return fmt.Sprintf("materials: table line %d, column %s: %v", e.Line, e.Column, e.Err)
}

// Unwrap is the fault.
func (e *TableError) Unwrap() error { return e.Err }

var tableColumns = []string{
	"name", "group", "water", "protein", "fat", "carbohydrate", "fibre", "ash", "salt", "sugar",
	"freezing_point", "bound_water", "structure", "porosity", "fat_kind", "isotherm",
	"diffusivity", "activation", "half_moisture", "permeability", "melted_fat", "holding", "soak", "water_source",
	"source", "note",
}

// optional tells whether a table may lack a column: those on water that moves.
func optional(column int) bool { return column >= colDiffusivity && column <= colWaterSource }

// Indices into tableColumns.
const (
	colName = iota
	colGroup
	colWater
	colProtein
	colFat
	colCarbohydrate
	colFibre
	colAsh
	colSalt
	colSugar
	colFreezingPoint
	colBoundWater
	colStructure
	colPorosity
	colFatKind
	colIsotherm
	colDiffusivity
	colActivation
	colHalfMoisture
	colPermeability
	colMeltedFat
	colHolding
	colSoak
	colWaterSource
	colSource
	colNote
)

// ParseTable reads foods from comma-separated values (RFC 4180, one record a
// line). Lines that begin with # and empty lines are skipped; the first other
// line names the columns, in this order, those in parentheses only if wanted:
//
//	name, group
//	water, protein, fat, carbohydrate, fibre, ash, salt, sugar  [mass %]
//	freezing_point  [°C], empty for estimated
//	bound_water     [kg/kg of food], empty for estimated
//	structure       as ParseStructure, empty for compact
//	porosity        [m³/m³]
//	fat_kind        as ParseFatKind, empty for none
//	isotherm        "gab xm c k", "oswin a b", or empty
//	(diffusivity)   [m²/s]            |
//	(activation)    [J/mol]           |
//	(half_moisture) [kg/kg]           | as in Transport; empty for usual
//	(permeability)  [kg/(m s Pa)]     |
//	(melted_fat)    [-]               |
//	(holding)       as FindHolding, then the water of the raw muscle
//	                [kg/kg protein], or nothing if this is the raw muscle
//	(soak)          [kg/kg dry non-fat solids]
//	(water_source)  where these come from
//	source, note
//
// Carbohydrate excludes fibre; salt is a part of ash, sugar of carbohydrate. An
// empty number is 0. Percentages are as printed in the source and are scaled to
// a sum of 100 if theirs is 97 to 103. Names must differ, without regard to
// case.
//
// A table has at most 10000 foods and 8192 bytes a line. The first fault ends
// the reading and gives no foods and a [*TableError]; a fault in reading from r
// is wrapped in one too.
func ParseTable(r io.Reader) ([]Food, error) {
	lines := bufio.NewScanner(r)
	lines.Buffer(make([]byte, 0, maxLineBytes), maxLineBytes)
	var foods []Food
	names := make(map[string]int)
	var columns []int // of the table, as indices into tableColumns
	line := 0
	fail := func(column string, err error) ([]Food, error) {
		return nil, &TableError{line, column, err}
	}
	for lines.Scan() {
		line++
		text := lines.Text()
		if line == 1 {
			text = strings.TrimPrefix(text, "\ufeff")
		}
		if trimmed := strings.TrimSpace(text); trimmed == "" || trimmed[0] == '#' {
			continue
		}
		record, err := splitRecord(text)
		if err != nil {
			return fail("", err)
		}
		if columns == nil {
			var column string
			if columns, column, err = parseHeading(record); err != nil {
				return fail(column, err)
			}
			continue
		}
		if len(record) != len(columns) {
			return fail("", fmt.Errorf("%d columns, want %d", len(record), len(columns)))
		}
		if len(foods) == maxRows {
			return fail("", fmt.Errorf("more than %d foods", maxRows))
		}
		cells := make([]string, len(tableColumns))
		for i, c := range columns {
			cells[c] = record[i]
		}
		food, column, err := parseFood(cells)
		if err != nil {
			return fail(column, err)
		}
		key := strings.ToLower(food.Name)
		if first, ok := names[key]; ok {
			return fail("name", fmt.Errorf("%q stands already in line %d", food.Name, first))
		}
		names[key] = line
		foods = append(foods, food)
	}
	if err := lines.Err(); err != nil {
		line++
		if errors.Is(err, bufio.ErrTooLong) {
			err = fmt.Errorf("more than %d bytes", maxLineBytes)
		}
		return fail("", err)
	}
	if columns == nil {
		line++
		return fail("", errors.New("no heading line"))
	}
	return foods, nil
}

// parseHeading tells which of tableColumns stand in a heading; on a fault it
// names the column.
func parseHeading(record []string) (columns []int, column string, err error) {
	fewest := len(tableColumns) - (colWaterSource - colDiffusivity + 1)
	if len(record) < fewest || len(record) > len(tableColumns) {
		return nil, "", fmt.Errorf("%d columns, want %d to %d", len(record), fewest, len(tableColumns))
	}
	for i, want := range tableColumns {
		at := len(columns)
		switch {
		case at < len(record) && record[at] == want:
			columns = append(columns, i)
		case !optional(i):
			heading := "none"
			if at < len(record) {
				heading = strconv.Quote(record[at])
			}
			return nil, want, fmt.Errorf("heading %s, want %q", heading, want)
		}
	}
	if len(columns) < len(record) {
		return nil, "", fmt.Errorf("heading %q after the last column", record[len(columns)])
	}
	return columns, "", nil
}

func splitRecord(text string) ([]string, error) {
	r := csv.NewReader(strings.NewReader(text))
	r.FieldsPerRecord = -1
	record, err := r.Read()
	if err != nil {
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			err = fmt.Errorf("byte %d: %w", bad.Column, bad.Err)
		}
		return nil, err
	}
	for i := range record {
		record[i] = strings.TrimSpace(record[i])
	}
	return record, nil
}

// parseFood reads one record; on a fault it names the column.
func parseFood(record []string) (food Food, column string, err error) {
	var numbers [colNote + 1]float64
	for i := range record {
		switch i {
		case colWater, colProtein, colFat, colCarbohydrate, colFibre, colAsh, colSalt, colSugar,
			colFreezingPoint, colBoundWater, colPorosity,
			colDiffusivity, colActivation, colHalfMoisture, colPermeability, colMeltedFat, colSoak:
			if record[i] == "" {
				continue
			}
			x, err := strconv.ParseFloat(record[i], 64)
			if err != nil {
				return Food{}, tableColumns[i], fmt.Errorf("%q is not a number", record[i])
			}
			numbers[i] = x
		}
	}
	if record[colName] == "" {
		return Food{}, "name", errors.New("empty")
	}
	food = Food{
		Name: record[colName], Group: record[colGroup], Source: record[colSource],
		FreezingPoint: numbers[colFreezingPoint], Porosity: numbers[colPorosity], Soak: numbers[colSoak],
	}
	if record[colBoundWater] != "" {
		b := numbers[colBoundWater]
		food.BoundWater = &b
	}

	printed := Composition{
		Water: numbers[colWater] / 100, Protein: numbers[colProtein] / 100, Fat: numbers[colFat] / 100,
		Carbohydrate: numbers[colCarbohydrate] / 100, Fibre: numbers[colFibre] / 100, Ash: numbers[colAsh] / 100,
		Salt: numbers[colSalt] / 100, Sugar: numbers[colSugar] / 100,
	}
	if s := printed.Sum(); !(s >= 0.97-1e-9 && s <= 1.03+1e-9) {
		return Food{}, "water..ash", fmt.Errorf("sum %.5g %%, want 97 to 103", s*100)
	}
	if food.Composition, err = printed.Normalize(); err != nil {
		column = "water..sugar"
		var bad *CompositionError
		if errors.As(err, &bad) {
			column = bad.Component
		}
		return Food{}, column, err
	}
	if s := record[colStructure]; s != "" {
		if food.Structure, err = ParseStructure(s); err != nil {
			return Food{}, "structure", err
		}
	}
	if s := record[colFatKind]; s != "" {
		if food.FatKind, err = ParseFatKind(s); err != nil {
			return Food{}, "fat_kind", err
		}
	}
	if food.Isotherm, err = parseIsotherm(record[colIsotherm]); err != nil {
		return Food{}, "isotherm", err
	}
	food.Transport = parseTransport(record, numbers[:], &food)
	if food.Holding, err = parseHolding(record[colHolding], food.Composition); err != nil {
		return Food{}, "holding", err
	}
	if err := food.Validate(); err != nil {
		var bad *FoodError
		if errors.As(err, &bad) {
			column = strings.ReplaceAll(bad.Field, " ", "_")
		}
		return Food{}, column, err
	}
	return food, "", nil
}

// parseIsotherm reads "gab xm c k", "oswin a b" or nothing.
func parseIsotherm(s string) (Isotherm, error) {
	words := strings.Fields(s)
	if len(words) == 0 {
		return Isotherm{}, nil
	}
	var c [3]float64
	if len(words) > 4 {
		return Isotherm{}, fmt.Errorf("%q has too many words", s)
	}
	for i, w := range words[1:] {
		x, err := strconv.ParseFloat(w, 64)
		if err != nil {
			return Isotherm{}, fmt.Errorf("%q is not a number", w)
		}
		c[i] = x
	}
	var iso Isotherm
	switch kind := strings.ToLower(words[0]); {
	case kind == "gab" && len(words) == 4:
		iso = GAB(c[0], c[1], c[2])
	case kind == "oswin" && len(words) == 3:
		iso = Oswin(c[0], c[1])
	default:
		return Isotherm{}, fmt.Errorf("%q, want \"gab xm c k\" or \"oswin a b\"", s)
	}
	return iso, iso.Validate()
}

// parseTransport gives what a row says of the movement of water, the rest as
// usual for the food, or nil if it says nothing.
func parseTransport(record []string, numbers []float64, food *Food) *Transport {
	t := food.usualTransport()
	given := false
	for i, x := range [...]*float64{&t.Diffusivity, &t.Activation, &t.HalfMoisture, &t.Permeability, &t.MeltedFat} {
		if column := colDiffusivity + i; record[column] != "" {
			*x = numbers[column]
			given = true
		}
	}
	if !given {
		return nil
	}
	t.Source = "given: " + record[colWaterSource] + "; else usual: " + t.Source
	return &t
}

// parseHolding reads the name of a holding curve, and after it the water of the
// raw muscle [kg/kg protein] if that is not the food itself.
func parseHolding(s string, c Composition) (*WaterHolding, error) {
	if s == "" {
		return nil, nil
	}
	name, raw := s, c.Water/c.Protein
	if i := strings.LastIndex(s, " "); i >= 0 {
		if x, err := strconv.ParseFloat(s[i+1:], 64); err == nil {
			name, raw = s[:i], x
		}
	}
	h, err := FindHolding(name)
	if err != nil {
		return nil, err
	}
	h.RawWater = raw
	return h, h.Validate()
}
