package main

import (
	"errors"
	"flag"
	"fmt"
	"io"

	"example.com/thawfront/thermal/chart"
)

const help = `bakecheck reads dish files, runs them side by side and says how each dish came out.

  bakecheck [flags] FILE...      "-" is standard input; flags may stand anywhere

Flags:
`

const moreHelp = `
Nothing is written to disk unless -csv, -json or -pictures asks for it. Files are called
after the dish file: roll.toml gives roll.csv, roll.run.json, roll.layers.png and so on;
of dish files with one name the later ones are called roll-2, roll-3. A .run.json
holds its dish, and bakecheck runs it again.

Examples:
  bakecheck roll.toml
  bakecheck -fahrenheit -pictures png -to pictures roll.toml
  bakecheck -quiet dishes/*.toml
  bakecheck -only-read -explain roll.toml
  bakecheck -rewrite json roll.toml > roll.json

Exit codes; of several files the gravest counts, in the order 130, 2, 1, 3, 4:
  0    all went well; what cannot be told is said and counts as well
  1    something else failed: a disk, the solver
  2    a dish file or the flags are wrong; if a file is, none is run
  3    a stage met its limit before its target
  4    a wish is missed or a rule of a food code is not met
  130  interrupted, by Ctrl-C or SIGTERM: what was computed until then is shown and
       written; while files are still being read nothing is run
"go run" makes 1 of every code but 0: use "go build ./examples/bakecheck" where codes count.
`

// options are what the flags ask for.
type options struct {
	files      []string
	to         string
	csv, json  bool
	pictures   chart.Format // "": none
	width      int          // of pictures, in pixels; 0: the default
	fahrenheit bool
	explain    bool
	onlyRead   bool
	schema     bool
	rewrite    string // "", "toml" or "json"
	quiet      bool
}

func (o *options) writes() bool { return o.csv || o.json || o.pictures != "" }

// of gives the options for a dish, whose file may ask for °F.
func (o *options) of(d *dish) *options {
	with := *o
	with.fahrenheit = o.fahrenheit || d.file.Report != nil && d.file.Report.Units == "F"
	return &with
}

// parse reads the arguments; help, which gives flag.ErrHelp, goes to out.
func parse(args []string, out io.Writer) (*options, error) {
	o := &options{}
	flags := flag.NewFlagSet("bakecheck", flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	flags.Usage = func() {}
	flags.StringVar(&o.to, "to", "", "`folder` to write to, made if it is missing (default: the one you are in)")
	flags.BoolVar(&o.csv, "csv", false, "write the timeline as CSV")
	flags.BoolVar(&o.json, "json", false, "write dish, runs and report as JSON")
	flags.StringVar((*string)(&o.pictures), "pictures", "", "write pictures as `png, svg or pdf`")
	flags.IntVar(&o.width, "width", 0, "width of pictures in `pixels`, 400 to 4000 (default 800)")
	flags.BoolVar(&o.fahrenheit, "fahrenheit", false, "show timelines and pictures in °F, whatever the dish file says")
	flags.BoolVar(&o.explain, "explain", false, "show where each number comes from")
	flags.BoolVar(&o.onlyRead, "only-read", false, "read and check the files, run nothing")
	flags.BoolVar(&o.schema, "schema", false, "print the JSON Schema of dish files and end")
	flags.StringVar(&o.rewrite, "rewrite", "", "print the dish file as `toml or json` and end")
	flags.BoolVar(&o.quiet, "quiet", false, "one line a dish")
	for { // flags may come after files
		err := flags.Parse(args)
		if errors.Is(err, flag.ErrHelp) {
			fmt.Fprint(out, help)
			flags.SetOutput(out)
			flags.PrintDefaults()
			fmt.Fprint(out, moreHelp)
		}
		if err != nil {
			return nil, err
		}
		if flags.NArg() == 0 {
			return o, o.check()
		}
		o.files = append(o.files, flags.Arg(0))
		args = flags.Args()[1:]
	}
}

// check finds flags that contradict each other.
func (o *options) check() error {
	switch {
	case o.schema && (len(o.files) > 0 || o.rewrite != "" || o.onlyRead || o.explain || o.writes()):
		return errors.New("-schema takes no files and no other flags")
	case o.schema:
		return nil
	case len(o.files) == 0:
		return errors.New("want a dish file at least")
	case o.rewrite != "" && o.rewrite != "toml" && o.rewrite != "json":
		return fmt.Errorf("-rewrite %q, want toml or json", o.rewrite)
	case o.rewrite != "" && (len(o.files) > 1 || o.onlyRead || o.explain || o.quiet || o.writes()):
		return errors.New("-rewrite takes one file and no other flags")
	case o.pictures != "" && o.pictures != chart.PNG && o.pictures != chart.SVG && o.pictures != chart.PDF:
		return fmt.Errorf("-pictures %q, want png, svg or pdf", string(o.pictures))
	case o.width != 0 && (o.width < 400 || o.width > 4000):
		return fmt.Errorf("-width %d, want 400 to 4000", o.width)
	case o.width != 0 && o.pictures == "":
		return errors.New("-width goes with -pictures")
	case o.to != "" && !o.writes():
		return errors.New("-to goes with -csv, -json or -pictures")
	case o.onlyRead && (o.writes() || o.quiet):
		return errors.New("-only-read runs nothing: it does not go with -csv, -json, -pictures or -quiet")
	case o.quiet && o.explain:
		return errors.New("-quiet and -explain exclude each other")
	}
	stdin := 0
	for _, name := range o.files {
		if name == "-" {
			stdin++
		}
	}
	if stdin > 1 {
		return errors.New("standard input (-) can be read once only")
	}
	return nil
}
