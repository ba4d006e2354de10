package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/viper"

	"fairhand/register/bounded"
	"fairhand/register/each"
	"fairhand/register/measure"
	"fairhand/tui"
)

// options are the program's options, with where each came from. Viper is used
// in this file only, and never for box descriptions: it would read a train
// description such as 1E45 as a number.
type options struct {
	Dir    string
	Color  string // one of tui.Looks
	ASCII  bool
	Bell   bool
	Format string
	Copies string // where copies of the register go; empty for nowhere

	another bool // another desk is open on the register

	from map[string]string // option to "flag", a variable, a file or "default"
}

// option is one row of the table of options: flags, variables, configuration
// file, checks and the listing are all made from it.
type option struct {
	key     string
	short   string
	says    string
	choices []string           // for text that must be one of these
	truth   bool               // yes or no
	empty   bool               // any text, none when nobody gives it
	local   bool               // its flag belongs to one command, not to all
	value   func(*options) any // where it is kept
}

// given is an option's value in these options: text, or true or false.
func (o option) given(opt *options) any { return reflect.ValueOf(o.value(opt)).Elem().Interface() }

var optionTable = []option{
	{key: "dir", short: "C", says: "box directory, which holds box.yaml and register.db", value: func(o *options) any { return &o.Dir }},
	{key: "color", says: "colours of the desk: auto, contrast (high), never, or plain (reverse alone)", choices: tui.Looks, value: func(o *options) any { return &o.Color }},
	{key: "ascii", says: "draw the desk with plain characters only", truth: true, value: func(o *options) any { return &o.ASCII }},
	{key: "bell", says: "sound the terminal's bell on a dangerous finding, and when something is due or late", truth: true, value: func(o *options) any { return &o.Bell }},
	{key: "format", says: "format of an export when none is asked for", choices: exportForms(), local: true, value: func(o *options) any { return &o.Format }},
	{key: "copies", says: "folder for copies of the register, best on another disk: made at the end of each turn", empty: true, value: func(o *options) any { return &o.Copies }},
}

func (o option) env() string { return "FAIRHAND_" + strings.ToUpper(o.key) }

func optionKeys() []string {
	return each.Of(optionTable, func(o option) string { return o.key })
}

// addOptionFlags gives the root the flags that every command has.
func addOptionFlags(root *cobra.Command) {
	for _, o := range optionTable {
		switch {
		case o.local:
		case o.truth:
			root.PersistentFlags().Bool(o.key, false, o.says)
		default:
			root.PersistentFlags().StringP(o.key, o.short, "", o.says)
		}
	}
}

// options are the options of this run, read once.
func (p *program) options(cmd *cobra.Command) (opt options, err error) {
	if p.read == nil {
		if opt, err = p.readOptions(cmd); err != nil {
			return opt, err
		}
		p.read = &opt
	}
	return *p.read, nil
}

// readOptions reads the options: a flag goes before a variable of the environment,
// that before the configuration file, that before the default.
func (p *program) readOptions(cmd *cobra.Command) (options, error) {
	file, path, err := p.readConfig()
	if err != nil {
		return options{}, err
	}
	opt := options{from: map[string]string{}}
	for _, o := range optionTable {
		value, from := o.fallback()
		if file.IsSet(o.key) {
			value, from = file.GetString(o.key), path
		}
		if text := os.Getenv(o.env()); text != "" {
			value, from = text, o.env()
		}
		if f := cmd.Flags().Lookup(o.key); f != nil && f.Changed {
			value, from = f.Value.String(), "flag"
		}
		if err := o.check(value, from); err != nil {
			return options{}, err
		}
		switch to := o.value(&opt).(type) {
		case *string:
			*to = value
		case *bool:
			*to, _ = strconv.ParseBool(value) // as checked
		}
		opt.from[o.key] = from
	}
	return opt, nil
}

// checkFlags refuses a wrong flag with any command, also one that asks for no
// options.
func checkFlags(cmd *cobra.Command) error {
	for _, o := range optionTable {
		if f := cmd.Flags().Lookup(o.key); f != nil && f.Changed {
			if err := o.check(f.Value.String(), "flag"); err != nil {
				return err
			}
		}
	}
	return nil
}

// fallback is an option's value when nobody gives one.
func (o option) fallback() (value, from string) {
	switch {
	case o.key == "dir":
		return dataDir(), "default"
	case o.key == "color" && os.Getenv("NO_COLOR") != "": // https://no-color.org
		return "never", "NO_COLOR"
	case o.truth:
		return "false", "default"
	case o.empty:
		return "", "default"
	}
	return o.choices[0], "default"
}

// check refuses a value that is none of the option's.
func (o option) check(value, from string) error {
	if _, err := strconv.ParseBool(value); o.truth && err != nil {
		return usagef("%s (%s): %q is neither true nor false", o.key, from, value)
	}
	if o.choices != nil && !slices.Contains(o.choices, value) {
		return usagef("%s (%s): there is no %q; known are %s", o.key, from, value, strings.Join(o.choices, ", "))
	}
	return nil
}

// readConfig reads the configuration file, strictly. A file that was named must
// be there; the usual one may be missing, and path is then empty.
func (p *program) readConfig() (v *viper.Viper, path string, err error) {
	v = viper.New()
	path = p.configFile
	if path == "" {
		if path = configPath(); path == "" {
			return v, "", nil
		}
		if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
			return v, "", nil
		}
	}
	v.SetConfigType("yaml")
	text, err := bounded.File(path, bounded.Small)
	if err == nil {
		err = v.ReadConfig(bytes.NewReader(text))
	}
	if err != nil {
		return nil, "", withHint(fmt.Errorf("configuration file %s: %s", path, strings.ReplaceAll(err.Error(), "\n", " ")), "its options: %s", strings.Join(optionKeys(), ", "))
	}
	for _, key := range v.AllKeys() {
		i := slices.IndexFunc(optionTable, func(o option) bool { return o.key == key })
		if i < 0 {
			err := fmt.Errorf("configuration file %s: there is no option %q", path, key)
			return nil, "", meant(err, key, optionKeys(), "known are "+strings.Join(optionKeys(), ", "))
		}
		if err := optionTable[i].checkType(v.Get(key)); err != nil {
			return nil, "", fmt.Errorf("configuration file %s: %s: %w", path, key, err)
		}
	}
	return v, path, nil
}

// checkType refuses what YAML did not read as the option's type: unquoted, a
// directory called 2E10 would become another name without a word.
func (o option) checkType(value any) error {
	if _, truth := value.(bool); o.truth && !truth {
		return fmt.Errorf("%v is neither true nor false", value)
	}
	if _, text := value.(string); !o.truth && !text {
		return fmt.Errorf("%v is not text; put it in quotation marks", value)
	}
	return nil
}

// configPath is where the configuration file is looked for, "" when the system
// names no such place.
func configPath() string {
	dir, err := os.UserConfigDir()
	if x := os.Getenv("XDG_CONFIG_HOME"); filepath.IsAbs(x) {
		dir, err = x, nil
	}
	if err != nil {
		return ""
	}
	return filepath.Join(dir, "fairhand", "fairhand.yaml")
}

// dataDir is the box directory when none is named: by the XDG base directory
// specification, or the system's own place for a program's data.
func dataDir() string {
	if x := os.Getenv("XDG_DATA_HOME"); filepath.IsAbs(x) {
		return filepath.Join(x, "fairhand")
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "fairhand"
	}
	switch runtime.GOOS {
	case "windows":
		if local := os.Getenv("LOCALAPPDATA"); local != "" {
			return filepath.Join(local, "fairhand")
		}
	case "darwin":
		return filepath.Join(home, "Library", "Application Support", "fairhand")
	}
	return filepath.Join(home, ".local", "share", "fairhand")
}

type optionJSON struct {
	Option string `json:"option"`
	Value  any    `json:"value"` // text, or true or false
	From   string `json:"from"`  // flag, default, the variable or the file that gave it
}

func (p *program) configCommand() *cobra.Command {
	return p.withJSON(" an option", &cobra.Command{
		Use:   "config",
		Short: "List each option, its value and where it came from",
		Long: `List each option, its value and where it came from. A flag goes before a variable
of the environment (FAIRHAND_DIR and so on), that before the configuration file
fairhand/fairhand.yaml in the usual place for configuration, that before the default.`,
		Args: args(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			opt, err := p.options(cmd)
			if err != nil {
				return err
			}
			if p.js {
				for _, o := range optionTable {
					if err := p.json(optionJSON{o.key, o.given(&opt), opt.from[o.key]}); err != nil {
						return err
					}
				}
				return nil
			}
			rows := each.Of(optionTable, func(o option) []string { return []string{o.key, fmt.Sprint(o.given(&opt)), opt.from[o.key]} })
			lines := measure.Table(rows)
			if measure.Widest(lines...) > plainColumns { // where each came from goes below it
				below := measure.Widest(each.Of(rows, func(r []string) string { return r[0] })...) + 2
				lines = each.Of(rows, func(r []string) string {
					return strings.TrimRight(measure.Pad(r[0], below)+r[1], " ") + "\n" + measure.Pad("", below) + r[2]
				})
			}
			_, err = fmt.Fprintln(p.out, strings.Join(lines, "\n"))
			return err
		},
	})
}
