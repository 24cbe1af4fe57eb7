package verdict

import (
	"slices"

	"example.com/thawfront/thermal/quality"
)

// Verdict is what a wish or a rule comes to.
type Verdict string

// The verdicts.
const (
	Pass          Verdict = "pass"
	Fail          Verdict = "fail"
	CannotTell    Verdict = "cannot tell"    // something is not known
	NotApplicable Verdict = "does not apply" // a rule for other foods
)

// Report is what became of a dish. Times count from the start of the first run.
type Report struct {
	Duration float64         `json:"duration_s"` // [s] of the whole chain
	Stages   []Stage         `json:"stages"`
	Timeline []Moment        `json:"timeline"` // in order of time
	End      End             `json:"end"`
	Quality  *quality.Report `json:"quality"`        // of the end, by package quality
	Wishes   Verdict         `json:"wishes_verdict"` // the gravest of the findings
	Findings []Finding       `json:"findings"`       // of the wishes, in their order
	Safety   Verdict         `json:"safety_verdict"` // the gravest; cannot tell as long as a layer is unjudged
	Checks   []Check         `json:"safety_checks"`  // of the rules, part by part
	Unjudged []string        `json:"unjudged"`       // layers that no applicable rule was given for
	Changes  []Change        `json:"changes"`        // what to change, the first thing first
	Caution  string          `json:"caution"`        // always [safety.Caution]
}

// Stage is how a stage of a run went.
type Stage struct {
	Run     int     `json:"run"` // counted from 1
	Name    string  `json:"name"`
	Start   float64 `json:"start_s"`   // [s]
	End     float64 `json:"end_s"`     // [s]
	Ended   string  `json:"ended"`     // why it ended
	Early   bool    `json:"early"`     // whether it ended before it should
	Medium  float64 `json:"medium_C"`  // [°C] at its end
	Centre  float64 `json:"centre_C"`  // [°C] at its end
	Surface float64 `json:"surface_C"` // [°C] at its end
	Mass    float64 `json:"mass_kg"`   // [kg] at its end
	Ice     float64 `json:"ice_kg"`    // [kg] at its end
}

// Moment is something that happened.
type Moment struct {
	Time float64 `json:"time_s"` // [s]
	Run  int     `json:"run"`    // counted from 1
	Kind string  `json:"kind"`
	Text string  `json:"text"`
}

// End is the dish as the last run left it.
type End struct {
	Centre    float64 `json:"centre_C"`   // [°C]
	Surface   float64 `json:"surface_C"`  // [°C]
	Mass      float64 `json:"mass_kg"`    // [kg]
	Lost      float64 `json:"lost_kg"`    // [kg] water lost by all runs, as far as they know; negative if more condensed
	LostShare float64 `json:"lost"`       // [-] of the mass at the end and what was lost
	LostKnown bool    `json:"lost_known"` // whether water moved in all runs; else only boiling counts
	Ice       float64 `json:"ice_kg"`     // [kg]
	Layers    []Layer `json:"layers"`
}

// Layer is a layer at the end.
type Layer struct {
	Name    string  `json:"name"`
	Coldest float64 `json:"coldest_C"`    // [°C]
	Mean    float64 `json:"mean_C"`       // [°C]
	Hottest float64 `json:"hottest_C"`    // [°C]
	Peak    float64 `json:"peak_C"`       // [°C] the hottest any of it has ever been, by cells and, at the end, its surface
	Least   float64 `json:"least_peak_C"` // [°C] the hottest that the least heated of it has ever been
	Water   float64 `json:"water_kg"`     // [kg]
	Gained  float64 `json:"gained_kg"`    // [kg] of water since the layer came into the chain
	Ice     float64 `json:"ice_kg"`       // [kg]
}

// Finding is what became of a wish.
type Finding struct {
	Kind    string   `json:"kind"`
	Layer   string   `json:"layer,omitempty"`
	Wish    string   `json:"wish"` // in words
	Verdict Verdict  `json:"verdict"`
	Value   *float64 `json:"value,omitempty"`  // [-] in Unit; nil if it is not known
	Margin  *float64 `json:"margin,omitempty"` // [-] in Unit, negative if it fails; nil if it is not known
	Unit    string   `json:"unit"`
	Text    string   `json:"text"`              // what was found
	Missing []string `json:"missing,omitempty"` // what is not known
}

// Check is what became of a rule for a part of the dish.
type Check struct {
	Layer   string   `json:"layer"`
	Rule    string   `json:"rule"`   // its name in package safety
	Code    string   `json:"code"`   // the code it is in
	Number  string   `json:"number"` // within the code
	Title   string   `json:"title"`
	Year    int      `json:"year"`
	Words   string   `json:"words"`  // what it asks for
	Source  string   `json:"source"` // of its figures
	Verdict Verdict  `json:"verdict"`
	Place   string   `json:"place,omitempty"`  // that decides
	Time    *float64 `json:"time_s,omitempty"` // [s] when it was met, missed or nearest
	Margin  *float64 `json:"margin,omitempty"` // [-] in Unit, negative if it fails
	Unit    string   `json:"unit,omitempty"`
	Text    string   `json:"text"`
	Missing []string `json:"missing,omitempty"`
}

// Change is something to try in the next run.
type Change struct {
	For  []string `json:"for"` // the wishes or rules that were missed
	Do   string   `json:"do"`
	Why  string   `json:"why"`            // the numbers it follows from
	Else []string `json:"else,omitempty"` // ways around it
	Try  *Try     `json:"try,omitempty"`  // the same as data, where it changes a stage by a number
}

// Try is a change of a stage: another medium or another length.
type Try struct {
	Run    int      `json:"run"`                // counted from 1
	Stage  int      `json:"stage"`              // in the run, counted from 1
	Medium *float64 `json:"medium_C,omitempty"` // [°C] instead of the stage's; nil: as it is
	Longer *float64 `json:"longer_s,omitempty"` // [s] by which it lasts longer, negative if shorter; nil: as it is
}

// gravest gives the verdict that stands for several.
func gravest(v ...Verdict) Verdict {
	for _, g := range []Verdict{Fail, CannotTell, Pass} {
		if slices.Contains(v, g) {
			return g
		}
	}
	return CannotTell
}
