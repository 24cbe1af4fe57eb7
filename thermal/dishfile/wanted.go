package dishfile

// Check is a wish for the end of the chain: exactly one of its keys. What they mean is
// said with the wishes of package verdict.
type Check struct {
	Served *Served `toml:"served,omitempty,inline" json:"served,omitempty"`        // the temperature of a place
	Done   *Done   `toml:"done,omitempty,inline" json:"done,omitempty"`            // the highest temperature of most of a layer
	Rim    *Rim    `toml:"rim,omitempty,inline" json:"rim,omitempty"`              // the overcooked rim of a layer
	Even   *Even   `toml:"even,omitempty,inline" json:"even,omitempty"`            // the spread of temperatures in a layer
	Graded *Graded `toml:"graded,omitempty,inline" json:"graded,omitempty"`        // the doneness of most of a layer
	Colour *Colour `toml:"colour,omitempty,inline" json:"colour,omitempty"`        // the lightness of the crust
	Juicy  *Juicy  `toml:"juicy,omitempty,inline" json:"juicy,omitempty"`          // the water a layer keeps
	Set    string  `toml:"set,omitempty" json:"set,omitempty"`                     // the layer whose crumb has set
	Crisp  Share   `toml:"crisp,omitempty" json:"crisp,omitempty" in:"1e-6,1"`     // of the outermost layer at least
	Loss   Share   `toml:"loss,omitempty" json:"loss,omitempty" in:"0,1"`          // of the weight at most
	Ready  Time    `toml:"ready,omitempty" json:"ready,omitempty" in:"1,36000000"` // from the start of the last part of the chain, at most
	Thawed bool    `toml:"thawed,omitempty" json:"thawed,omitempty"`               // no ice is left
}

// Served is a band of temperature at the end.
type Served struct {
	At   Place `toml:"at,omitempty" json:"at,omitempty"` // default centre
	From Temp  `toml:"from,omitempty" json:"from,omitempty" in:"-200,1000"`
	To   Temp  `toml:"to,omitempty" json:"to,omitempty" in:"-200,1000"`
}

// Done is a band of the highest temperature ever.
type Done struct {
	Layer string `toml:"layer,omitempty" json:"layer,omitempty"`
	From  Temp   `toml:"from,omitempty" json:"from,omitempty" in:"-200,1000"`
	To    Temp   `toml:"to,omitempty" json:"to,omitempty" in:"-200,1000"`
	Share Share  `toml:"share,omitempty" json:"share,omitempty" in:"1e-6,1"` // of the layer at least; default 100 %
}

// Rim is the part of a layer that has been hotter than it should.
type Rim struct {
	Layer string `toml:"layer,omitempty" json:"layer,omitempty"`
	Over  Temp   `toml:"over,omitempty" json:"over,omitempty" in:"-200,1000"`
	Most  Length `toml:"most,omitempty" json:"most,omitempty" in:"0,5"`
}

// Even is how far the coldest and hottest of a layer may lie apart at the end.
type Even struct {
	Layer string  `toml:"layer,omitempty" json:"layer,omitempty"`
	Most  float64 `toml:"most_kelvin,omitempty" json:"most_kelvin,omitempty" in:"0,1000"` // [K] over 0
}

// Graded is doneness on a scale of package quality.
type Graded struct {
	Layer string   `toml:"layer,omitempty" json:"layer,omitempty"`
	Scale string   `toml:"scale,omitempty" json:"scale,omitempty"` // default: the first of what the layer is judged as
	Bands []string `toml:"bands,omitempty" json:"bands,omitempty"`
	Share Share    `toml:"share,omitempty" json:"share,omitempty" in:"1e-6,1"` // of the layer at least; default 100 %
}

// Colour is the lightness L* of a crust: 85 is dough, 50 to 60 brown.
type Colour struct {
	Darkest  float64 `toml:"darkest,omitempty" json:"darkest,omitempty" in:"0,100"`   // [-] default 0
	Lightest float64 `toml:"lightest,omitempty" json:"lightest,omitempty" in:"0,100"` // [-]
}

// Juicy is the water that a layer has kept of what it brought into the chain.
type Juicy struct {
	Layer string `toml:"layer,omitempty" json:"layer,omitempty"`
	Kept  Share  `toml:"kept,omitempty" json:"kept,omitempty" in:"0,2"` // at least
}

// Safety is a part of the dish, what is known of it, and the rules it is held against.
// What is not given is not known; what words there are is said with safety.Facts.
type Safety struct {
	Layer  string   `toml:"layer,omitempty" json:"layer,omitempty"`   // default: every layer, as one food of these facts
	Food   string   `toml:"food,omitempty" json:"food,omitempty"`     // kind, as safety.Food
	Animal string   `toml:"animal,omitempty" json:"animal,omitempty"` // as safety.Animal
	Rules  []string `toml:"rules,omitempty" json:"rules,omitempty"`   // by name, or 'cooking', 'cooling' and so on for all of a step, in the order given
	Stages []string `toml:"stages,omitempty" json:"stages,omitempty"` // over which it is judged; default: the whole chain

	Cured           *bool    `toml:"cured,omitempty" json:"cured,omitempty"` // with nitrite
	Fat             Share    `toml:"fat,omitempty" json:"fat,omitempty" in:"0,1"`
	Salt            Share    `toml:"salt,omitempty" json:"salt,omitempty" in:"0,1"`
	WaterActivity   *float64 `toml:"water_activity,omitempty" json:"water_activity,omitempty" in:"0,1"` // [-]
	PH              *float64 `toml:"ph,omitempty" json:"ph,omitempty" in:"0,14"`                        // [-]
	Mass            Mass     `toml:"mass,omitempty" json:"mass,omitempty" in:"1e-6,1e4"`                // of the whole piece
	ReadyToEat      *bool    `toml:"ready_to_eat,omitempty" json:"ready_to_eat,omitempty"`
	LabelledIntact  *bool    `toml:"labelled_intact,omitempty" json:"labelled_intact,omitempty"`
	RoastCooked     *bool    `toml:"roast_cooked,omitempty" json:"roast_cooked,omitempty"`
	FromRoom        *bool    `toml:"from_room,omitempty" json:"from_room,omitempty"`
	Oven            string   `toml:"oven,omitempty" json:"oven,omitempty"` // kind, as safety.Oven
	OvenTemperature Temp     `toml:"oven_temperature,omitempty" json:"oven_temperature,omitempty" in:"-100,1000"`
	CookEnds        string   `toml:"cook_ends,omitempty" json:"cook_ends,omitempty"` // with the end of this stage
	Thawing         string   `toml:"thawing,omitempty" json:"thawing,omitempty"`     // kind, as safety.Thawing
	ThawWater       Temp     `toml:"thaw_water,omitempty" json:"thaw_water,omitempty" in:"-5,100"`
}

// Report says how results are shown.
type Report struct {
	Units   string   `toml:"units,omitempty" json:"units,omitempty"`                     // of temperature, C or F; default C
	Every   Time     `toml:"every,omitempty" json:"every,omitempty" in:"0.1,34560000"`   // from line to line of the timeline; default: about twenty lines
	Places  []Place  `toml:"places,omitempty" json:"places,omitempty"`                   // columns of the timeline; default: centre, mean of each layer, surface
	Charts  []string `toml:"charts,omitempty" json:"charts,omitempty"`                   // layers, section, profiles, water, water section, activity section; default: layers, section
	Moments []Time   `toml:"moments,omitempty" json:"moments,omitempty" in:"0,34560000"` // since the start, of profiles; default: five even ones
}
