package dishfile

// Version is the version of dish files that this package reads and writes.
const Version = 1

// File is a dish file. Fields that are quantities are texts with a unit; empty
// means not given. What is not said to have a default is needed.
type File struct {
	Version    int         `toml:"version" json:"version"`                                // 1
	Title      string      `toml:"title,omitempty" json:"title,omitempty"`                // default: none
	Note       string      `toml:"note,omitempty" json:"note,omitempty"`                  // for the reader; default: none
	Start      Temp        `toml:"start,omitempty" json:"start,omitempty" in:"-200,1000"` // of layers that have none of their own; default: all must
	Shape      *Shape      `toml:"shape,omitempty,inline" json:"shape,omitempty"`
	Foods      []Food      `toml:"foods,omitempty" json:"foods,omitempty"`           // the file's own; default: none
	Layers     []Layer     `toml:"layers,omitempty" json:"layers,omitempty"`         // from the centre outwards, of a slab from its underside to its top
	Appliances []Appliance `toml:"appliances,omitempty" json:"appliances,omitempty"` // ovens and baths with a state of their own, for media of the stages; default: none
	Stages     []Stage     `toml:"stages,omitempty" json:"stages,omitempty"`
	Checks     []Check     `toml:"checks,omitempty" json:"checks,omitempty"`     // what is wished for; default: nothing
	Safety     []Safety    `toml:"safety,omitempty" json:"safety,omitempty"`     // what is held against food codes; default: nothing
	Report     *Report     `toml:"report,omitempty" json:"report,omitempty"`     // how results are shown; default: those of its fields
	Settings   *Settings   `toml:"settings,omitempty" json:"settings,omitempty"` // default: those of package thermal

	lines map[string]int // of the keys in the text that Read has read, for Explain
}

// Food is a food of the file's own: either a composition or a mix.
type Food struct {
	Name          string       `toml:"name,omitempty" json:"name,omitempty"`
	Composition   *Composition `toml:"composition,omitempty,inline" json:"composition,omitempty"`
	Mix           []Part       `toml:"mix,omitempty,inline" json:"mix,omitempty"`
	FreezingPoint Temp         `toml:"freezing_point,omitempty" json:"freezing_point,omitempty" in:"-60,-0.001"` // with a composition; default: from its solutes
	BoundWater    Share        `toml:"bound_water,omitempty" json:"bound_water,omitempty" in:"0,1"`              // with a composition, of the food; default: estimated
	Porosity      Share        `toml:"porosity,omitempty" json:"porosity,omitempty" in:"0,0.98"`                 // with a composition, by volume; default 0
	Structure     string       `toml:"structure,omitempty" json:"structure,omitempty"`                           // with a composition, as materials.Structure; default compact
	FatKind       string       `toml:"fat_kind,omitempty" json:"fat_kind,omitempty"`                             // with a composition, as materials.FatKind; default none
}

// Composition is shares by weight that sum to 100 %; default 0 each.
type Composition struct {
	Water        Share `toml:"water,omitempty" json:"water,omitempty" in:"0,1"`
	Protein      Share `toml:"protein,omitempty" json:"protein,omitempty" in:"0,1"`
	Fat          Share `toml:"fat,omitempty" json:"fat,omitempty" in:"0,1"`
	Carbohydrate Share `toml:"carbohydrate,omitempty" json:"carbohydrate,omitempty" in:"0,1"`
	Fibre        Share `toml:"fibre,omitempty" json:"fibre,omitempty" in:"0,1"`
	Ash          Share `toml:"ash,omitempty" json:"ash,omitempty" in:"0,1"`
	Salt         Share `toml:"salt,omitempty" json:"salt,omitempty" in:"0,1"`   // a part of ash
	Sugar        Share `toml:"sugar,omitempty" json:"sugar,omitempty" in:"0,1"` // a part of carbohydrate
}

// Part is an ingredient of a mix.
type Part struct {
	Food   string `toml:"food,omitempty" json:"food,omitempty"` // of the table, or one of the file's own above
	Weight Mass   `toml:"weight,omitempty" json:"weight,omitempty" in:"1e-9,1e6"`
}

// Layer is one layer of the dish.
type Layer struct {
	Name      string     `toml:"name,omitempty" json:"name,omitempty"` // default: that of the food
	Food      string     `toml:"food,omitempty" json:"food,omitempty"`
	Thickness Length     `toml:"thickness,omitempty" json:"thickness,omitempty" in:"1e-6,5"` // the radius of the innermost layer of a cylinder or sphere
	Start     Temp       `toml:"start,omitempty" json:"start,omitempty" in:"-200,1000"`      // default: that of the file
	Contact   Resistance `toml:"contact,omitempty" json:"contact,omitempty" in:"0,1e3"`      // on its outer face; default 0
	Cells     int        `toml:"cells,omitempty" json:"cells,omitempty" in:"0,20000"`        // default: a share of the settings'
	Film      *Film      `toml:"film,omitempty,inline" json:"film,omitempty"`                // on its outer face; default: none
	Rise      *Rise      `toml:"rise,omitempty,inline" json:"rise,omitempty"`                // default: none
	Joins     string     `toml:"joins,omitempty" json:"joins,omitempty"`                     // the stage as which begins the layer is put on; default: there from the start
	Leaves    string     `toml:"leaves,omitempty" json:"leaves,omitempty"`                   // the stage as which begins it is taken off; default: stays
	JudgedAs  string     `toml:"judged_as,omitempty" json:"judged_as,omitempty"`             // meat, fish, dough or other; default other
}

// Film is a skin that vapour passes with difficulty.
type Film struct {
	Permeance Permeance `toml:"permeance,omitempty" json:"permeance,omitempty" in:"0,1"` // default: none passes
	Holds     Pressure  `toml:"holds,omitempty" json:"holds,omitempty" in:"0,1e5"`       // that steam must reach to get through; default 0
}

// Rise is how a layer thickens: by the highest temperature a place has had, or by the
// time since it was put on.
type Rise struct {
	Points []RisePoint `toml:"points,omitempty,inline" json:"points,omitempty"`
}

// RisePoint is a point of a Rise; all points have a temperature, or all a time.
type RisePoint struct {
	Temperature Temp    `toml:"temperature,omitempty" json:"temperature,omitempty" in:"-200,1000"`
	Time        Time    `toml:"time,omitempty" json:"time,omitempty" in:"0,1e9"`
	Ratio       float64 `toml:"ratio" json:"ratio" in:"1,20"` // [-] thickness over the original
}

// Stage is a medium until a condition is met.
type Stage struct {
	Name    string            `toml:"name,omitempty" json:"name,omitempty"` // default: none
	Medium  *Medium           `toml:"medium,omitempty,inline" json:"medium,omitempty"`
	Patches map[string]Medium `toml:"patches,omitempty,inline" json:"patches,omitempty"` // parts of the surface that meet something else, as underside of a slab; default: none
	Until   *Condition        `toml:"until,omitempty,inline" json:"until,omitempty"`
	Limit   Time              `toml:"limit,omitempty" json:"limit,omitempty" in:"1e-3,34560000"` // by which until must be met; default 48 h beyond any time in until
	Brush   *Brush            `toml:"brush,omitempty,inline" json:"brush,omitempty"`             // put on as the stage begins; default: nothing
}

// Medium is what surrounds the dish.
type Medium struct {
	Kind        string      `toml:"kind,omitempty" json:"kind,omitempty"`                              // what it is, with the coefficient, emissivity and humidity usual for it
	Temperature Temp        `toml:"temperature,omitempty" json:"temperature,omitempty" in:"-200,1000"` // of every kind but insulated, appliance and tray
	Course      []Turn      `toml:"course,omitempty,inline" json:"course,omitempty"`                   // instead of the temperature: how it changes in the stage
	H           Coefficient `toml:"h,omitempty" json:"h,omitempty" in:"0,1e5"`                         // default: of the kind; custom needs it
	Emissivity  *float64    `toml:"emissivity,omitempty" json:"emissivity,omitempty" in:"0,1"`         // [-] default: of the kind; custom 0
	Walls       Temp        `toml:"walls,omitempty" json:"walls,omitempty" in:"-200,1000"`             // that the surface sees; default: the temperature
	Humidity    Humidity    `toml:"humidity,omitempty" json:"humidity,omitempty"`                      // default: of the kind; custom sealed
	Appliance   string      `toml:"appliance,omitempty" json:"appliance,omitempty"`                    // name of the one whose air or liquid it is, or on whose tray the dish stands
	SetPoint    Temp        `toml:"set_point,omitempty" json:"set_point,omitempty" in:"-80,1000"`      // of an appliance
	Off         bool        `toml:"off,omitempty" json:"off,omitempty"`                                // instead of a set point: the appliance coasts
	Door        []Opening   `toml:"door,omitempty,inline" json:"door,omitempty"`                       // when it stands open, of an oven; default: closed
	FanOff      bool        `toml:"fan_off,omitempty" json:"fan_off,omitempty"`                        // of an oven; default false
	Steam       Flow        `toml:"steam,omitempty" json:"steam,omitempty" in:"0,1"`                   // let into an oven; default none
}

// Turn is a point of the course of a medium's temperature, which goes in straight lines
// from point to point and is level before the first and after the last. Two points at
// one time are a jump.
type Turn struct {
	Time        Time `toml:"time,omitempty" json:"time,omitempty" in:"0,34560000"` // since the stage began
	Temperature Temp `toml:"temperature,omitempty" json:"temperature,omitempty" in:"-200,1000"`
}

// Condition ends a stage: exactly one of time, above, below, fluid_above, fluid_below,
// ice_gone, frozen, any and all.
type Condition struct {
	Time       Time        `toml:"time,omitempty" json:"time,omitempty" in:"0,34560000"` // since the stage began
	At         Place       `toml:"at,omitempty" json:"at,omitempty"`                     // with above or below; default centre
	Above      Temp        `toml:"above,omitempty" json:"above,omitempty" in:"-200,1000"`
	Below      Temp        `toml:"below,omitempty" json:"below,omitempty" in:"-200,1000"`
	FluidAbove Temp        `toml:"fluid_above,omitempty" json:"fluid_above,omitempty" in:"-200,1000"` // of what the dish meets: the air of an oven, the water of a bath
	FluidBelow Temp        `toml:"fluid_below,omitempty" json:"fluid_below,omitempty" in:"-200,1000"`
	Patch      string      `toml:"patch,omitempty" json:"patch,omitempty"` // with fluid_above or fluid_below; default: the outermost, the top of a slab, roll section, bar or tray
	IceGone    bool        `toml:"ice_gone,omitempty" json:"ice_gone,omitempty"`
	Frozen     Share       `toml:"frozen,omitempty" json:"frozen,omitempty" in:"1e-6,1"` // of the water that can freeze
	Any        []Condition `toml:"any,omitempty,inline" json:"any,omitempty"`
	All        []Condition `toml:"all,omitempty,inline" json:"all,omitempty"`
}

// Brush is a glaze or water put on as a stage begins.
type Brush struct {
	Food        string   `toml:"food,omitempty" json:"food,omitempty"`
	Amount      Coverage `toml:"amount,omitempty" json:"amount,omitempty" in:"1e-9,5"`
	Temperature Temp     `toml:"temperature,omitempty" json:"temperature,omitempty" in:"0,100"` // default 20 C
	Patch       string   `toml:"patch,omitempty" json:"patch,omitempty"`                        // default: the outermost, the top of a slab, roll section, bar or tray
}

// Settings say how the run is computed; defaults are those of thermal.Settings.
type Settings struct {
	Moisture  bool        `toml:"moisture,omitempty" json:"moisture,omitempty"`                     // default false
	Cells     int         `toml:"cells,omitempty" json:"cells,omitempty" in:"0,20000"`              // default 120; in two dimensions 1600, at most 6400; each layer has at least 3
	CellRatio float64     `toml:"cell_ratio,omitempty" json:"cell_ratio,omitempty" in:"0,50"`       // [-] in two dimensions, cells through the layers over those along them, 0.02 or more; default: alike in size
	Grading   string      `toml:"grading,omitempty" json:"grading,omitempty"`                       // default graded, or uniform
	Tolerance float64     `toml:"tolerance,omitempty" json:"tolerance,omitempty" in:"0,5"`          // [K] a step's; 0 is the default
	IceCurve  string      `toml:"ice_curve,omitempty" json:"ice_curve,omitempty"`                   // default bound water, as phasechange.IceCurve
	Pressure  Pressure    `toml:"pressure,omitempty" json:"pressure,omitempty" in:"20e3,500e3"`     // default 101325 Pa
	MaxSteps  int         `toml:"max_steps,omitempty" json:"max_steps,omitempty" in:"0,1000000000"` // default 1000000
	MaxStep   Time        `toml:"max_step,omitempty" json:"max_step,omitempty" in:"1e-3,34560000"`  // default as in thermal.Settings
	Watch     []Condition `toml:"watch,omitempty,inline" json:"watch,omitempty"`                    // noted among the events; default none
}
