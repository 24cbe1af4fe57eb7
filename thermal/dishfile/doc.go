// Package dishfile reads, writes and simulates dish files: a dish, its start, the stages
// it goes through, what is wished for and what is held against food codes, in a text that
// can be read aloud.
//
//	version = 1
//	shape = { kind = "cylinder", length = "200 mm" }
//	start = "-18 C"
//
//	[[layers]]
//	name = "lamb"
//	food = "lamb loin, cooked"
//	thickness = "34 mm"
//
//	[[stages]]
//	name = "bake"
//	medium = { kind = "fan oven", temperature = "425 F" }
//	until = { at = "centre", above = "48 C" }
//	limit = "2 h 30 min"
//
//	[[checks]]
//	rim = { layer = "lamb", over = "60 C", most = "2 mm" }
//
// Read gives a File, File.Simulate an Outcome:
//
//	file, err := dishfile.Read(reader, "roll.toml")
//	outcome, err := file.Simulate(ctx, nil)
//	fmt.Print(outcome.Report.Text())
//
// The same structure serves as JSON; Read tells the two apart by the first letter.
// Quantities are texts with a number and a unit and stay as their author wrote
// them, so that a file that is read and written again loses nothing.
//
// Quantities may be typed as in a letter: "−18 °C", "2,5 cm", "1½ h", "1 h 30", "1:30 h",
// "25 deg C", "2 lbs 3 oz". A comma before three figures, a bare "1:30" and a range are not
// guessed at but refused. Words of fixed lists come in any case, with blank, hyphen or
// underscore, "center" for "centre"; Read puts them into their listed form. Names of
// layers, stages and the file's own foods are taken to the letter.
//
// Foods are named as in the table of package materials, or as one of the file's own
// [[foods]], which have a composition or are a mix by weight.
//
// # Shapes of two dimensions
//
// A short roll with two ends, a roll that lies on something, a bar and a tray with its rim
// are shapes as well:
//
//	shape = { kind = "finite cylinder", length = "7 cm", half = true, top = [{ layer = "pastry", thickness = "5 mm" }] }
//	shape = { kind = "roll section", length = "30 cm", contact_width = "1 cm" }
//	shape = { kind = "bar", width = "10 cm", length = "24 cm" }
//	shape = { kind = "tray", width = "20 cm", length = "30 cm" }
//
// Layers go round a bar as they go round a roll; in a tray they lie on each other. An end
// of a finite cylinder is closed by the layers that bottom or top lists, while they are on
// the dish, and bare otherwise. Each part of the surface may have a medium of its own:
// underside, side and top of a finite cylinder, of half of one side and ends; contact, side
// and top of a roll section; underside, side and top of a bar; underside, rim and top of a
// tray. A place is then also a point, "12 mm out and -30 mm up": from the axis or the
// middle plane, and above mid-length, axis or centre, of a tray above its underside.
// "surface of side" is the mean of a part of the surface, in every shape. Layers do not
// rise in two dimensions. What all this costs is said with package thermal.
//
// # Ovens with a state of their own
//
// A medium of a kind (fan oven) is as hot as it says. An oven that swings, falls when its
// door opens and coasts is one of the file's appliances, a preset of package oven with what
// is known of yours given over it; so are refrigerators, freezers, baths and fryers. Media
// of kind appliance and tray name it:
//
//	[[appliances]]
//	name = "oven"
//	preset = "domestic still oven"
//	power = "1600 W"
//	ready_at = "210 C"
//	tray = { material = "carbon steel", thickness = "2 mm", area = "1200 cm²" }
//
//	[[stages]]
//	medium = { kind = "appliance", appliance = "oven", set_point = "210 C", door = [ { at = "20 min", for = "40 s" } ] }
//	patches = { underside = { kind = "tray", appliance = "oven" } }
//	until = { time = "35 min" }
//
//	[[stages]]
//	medium = { kind = "appliance", appliance = "oven", off = true }
//	until = { fluid_below = "90 C" }
//
// It goes on from stage to stage, and from run to run of a chain; in stages that do not
// name it it stands still. Power and volume change nothing else of the preset: a smaller
// oven has lighter walls, which only package oven can be told. The dish is a load of the
// size that its shape says, so give a slab its area and a cylinder its length.
//
// # Chains
//
// Layers may join the dish as a stage begins (joins = "wrap") and leave it (leaves =
// "unwrap"). Between such changes the stages make one run; each run begins as the one
// before ended, see thermal.From, and Chain gives the parts. Times in a Rise
// count from when its layer was put on, those of conditions and courses from the start of
// the stage.
//
// # Doing it again
//
// Outcome.WriteJSON writes all that decides the figures, the file itself and the versions
// of library and table of foods included; Read takes the file out of it again. Explain
// lists every number that a simulation uses and where it came from: the line of the file,
// a default, the food's row with its source, a law.
//
// # Strictness
//
// Unknown keys, wrong units, missing layers and stages that contradict themselves are
// faults. All of a file's are listed at once, each with line, key and what would be
// accepted, the nearest name among it; layers and stages count from 1. Only where the text
// is no TOML or JSON is there one fault alone, as what follows cannot be known; of TOML it
// names the usual slips in plain words, with the column. Files are bounded in size,
// depth and number of values before anything is built.
//
// # The choice of library
//
// TOML goes through pelletier/go-toml. Its parser gives the place in the text of every
// key and value, which is needed to say on which line a unit is wrong; BurntSushi/toml,
// as well kept, gives the place of faults of syntax only. Its decoder checks duplicate
// keys and tables. That parser's package is called unstable by its authors, for
// its interface: the version is pinned, and toml.go alone uses it.
package dishfile
