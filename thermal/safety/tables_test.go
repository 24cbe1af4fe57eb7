package safety

import (
	"math"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func printedTime(t *testing.T, text string) (time.Duration, float64) {
	t.Helper()
	d, err := time.ParseDuration(text)
	require.NoError(t, err)
	if text[len(text)-1] == 'm' {
		return d, 60
	}
	return d, 1
}

func rowsOf(t *testing.T, rule string) []Row {
	t.Helper()
	cook, ok := MustFind(rule).Criteria[0].(Cook)
	require.True(t, ok)
	return cook.Rows
}

// Every row as printed, and which of them D and z of the FSIS set give to within one
// unit of the print: all of the 6.5-log tables but the last, whose time is 0, and
// the 7-log table but for 131, 133 to 136 and 158 °F.
func TestTables(t *testing.T) {
	set := mustSet("salmonella, cooked beef (FSIS)")
	for _, tt := range []struct {
		rule, file, column, by string
		logs                   float64
		rows, reproduced       int
	}{
		{"food-code-roast-time", "roasts.csv", "time", "by_d_and_z", 6.5, 17, 16},
		{"fsis-beef-6.5-log", "appendix-a.csv", "log_6.5", "by_d_and_z_6.5", 6.5, 29, 28},
		{"fsis-beef-7-log", "appendix-a.csv", "log_7", "by_d_and_z_7", 7, 29, 23},
	} {
		rows := rowsOf(t, tt.rule)
		printed := readTable(t, "food-codes", tt.file)
		require.Len(t, rows, tt.rows, tt.rule)
		require.Len(t, printed, tt.rows, tt.rule)
		reproduced := 0
		for i, p := range printed {
			want, unit := printedTime(t, p[tt.column])
			fahrenheit := number(t, p["fahrenheit"])
			assert.Equal(t, number(t, p["celsius"]), rows[i].Temperature)
			assert.Equal(t, want, rows[i].Time)
			assert.InDelta(t, celsius(fahrenheit), rows[i].Temperature, 0.08, "%s: the two printed temperatures", tt.rule)

			computed := tt.logs * set.DAt(celsius(fahrenheit))
			fits := math.Abs(computed-want.Seconds()) < unit && want > 0
			assert.Equal(t, p[tt.by] == "yes", fits, "%s at %v °F: printed %v, computed %.1f s", tt.rule, fahrenheit, want, computed)
			if fits {
				reproduced++
			}
		}
		assert.Equal(t, tt.reproduced, reproduced, tt.rule)
	}
}

// The patty times are 5 of 6.5 log of the table's 151 and 155 °F.
func TestPattyTimes(t *testing.T) {
	set := mustSet("salmonella, cooked beef (FSIS)")
	for i, fahrenheit := range []float64{151, 155} {
		row := rowsOf(t, "cfr-beef-patties")[i]
		assert.InDelta(t, 5*set.DAt(celsius(fahrenheit)), row.Time.Seconds(), 0.5, "%v °F", fahrenheit)
		assert.InDelta(t, celsius(fahrenheit), row.Temperature, 0.05)
	}
}

// The chicken table bends: the set's line lies on or up to 7 % over the times from 136
// to 144 °F that were read.
func TestChickenTable(t *testing.T) {
	set, rows := mustSet("salmonella, chicken with 12 % fat (FSIS)"), rowsOf(t, "fsis-chicken-7-log")
	printed := readTable(t, "food-codes", "chicken.csv")
	require.Len(t, rows, len(printed))
	for i, p := range printed {
		want := 60 * number(t, p["minutes"])
		assert.InDelta(t, want, rows[i].Time.Seconds(), 1e-6)
		assert.Equal(t, number(t, p["celsius"]), rows[i].Temperature)
		if p["status"] == "read" {
			ratio := 7 * set.DAt(celsius(number(t, p["fahrenheit"]))) / want
			assert.True(t, ratio >= 1 && ratio <= 1.07, "%s °F: %v", p["fahrenheit"], ratio)
		}
	}
}

// A history at a row for its time passes; a second shorter or a hair colder fails.
func TestRowsDecide(t *testing.T) {
	facts := map[string]Facts{
		"food-code-roast-time":      {Food: Roast},
		"food-code-ground-injected": {Food: GroundMeat},
		"fsis-beef-6.5-log":         {Food: Roast, Animal: Beef},
		"fsis-beef-7-log":           {Food: InjectedMeat, Animal: Beef},
		"fsis-chicken-7-log":        {Food: Poultry, Animal: Chicken, Fat: new(0.12)},
		"cfr-beef-patties":          {Food: GroundMeat, Animal: Beef},
		"cfr-liquid-egg":            {Food: LiquidEgg},
	}
	for name, f := range facts {
		rule := MustFind(name)
		for i, row := range rowsOf(t, name) {
			length := max(row.Time, time.Second)
			met := check(t, rule, f, constant(row.Temperature, length))
			assert.Equal(t, Pass, met.Verdict, "%s, %v", name, row)
			assert.InDelta(t, 0, *met.Margin, 2e-5, "%s, %v", name, row)
			assert.InDelta(t, row.Time.Seconds(), *met.Time, 1e-6, "%s, %v", name, row)
			colder := check(t, rule, f, constant(row.Temperature-0.01, length))
			assert.Equal(t, Fail, colder.Verdict, "%s, %v", name, row)
			if row.Time > time.Second {
				assert.Equal(t, Fail, check(t, rule, f, constant(row.Temperature, row.Time-time.Second)).Verdict, "%s, row %d", name, i)
			}
		}
	}
}

func TestRequired(t *testing.T) {
	c := MustFind("food-code-roast-time").Criteria[0].(Cook)
	for _, tt := range []struct {
		temp float64
		want time.Duration
		ok   bool
	}{
		{54.39, 0, false}, {54.4, 112 * time.Minute, true}, {54.99, 112 * time.Minute, true}, {55, 89 * time.Minute, true},
		{69.9, 14 * time.Second, true}, {70, 0, true}, {200, 0, true}, {math.NaN(), 0, false},
	} {
		got, ok := c.Required(tt.temp)
		assert.Equal(t, tt.ok, ok, "%v °C", tt.temp)
		if ok {
			assert.Equal(t, tt.want, got, "%v °C", tt.temp)
		}
	}
	// Never shorter than the next row asks for, never longer at a warmer place.
	last := longest
	for temp := 54.4; temp < 75; temp += 0.05 {
		got, ok := c.Required(temp)
		require.True(t, ok)
		assert.LessOrEqual(t, got, last)
		last = got
		for _, r := range c.Rows {
			if r.Temperature >= temp {
				assert.GreaterOrEqual(t, got, r.Time, "%v °C", strconv.FormatFloat(temp, 'f', 2, 64))
				break
			}
		}
	}
}
