package main

import (
	"cmp"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"

	"github.com/apache/beam/sdks/v2/go/pkg/beam"
	"github.com/apache/beam/sdks/v2/go/pkg/beam/log"
	"github.com/apache/beam/sdks/v2/go/pkg/beam/register"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
	"wallsift/screen/store"
)

func init() {
	register.DoFn5x1[context.Context, []byte, func(string, screen.Row), func(string, fate), func(ingest.Names), error](&readFn{})
	register.DoFn6x1[context.Context, string, func(*screen.Row) bool, func(*fate) bool, func(string, screen.Row), func(int, []byte), error](&judgeFn{})
	register.DoFn3x0[int, func(*[]byte) bool, func(string, place)](&rankFn{})
	register.DoFn4x0[string, func(*screen.Row) bool, func(*place) bool, func(int, report.Ranked)](&partFn{})
	register.DoFn3x1[int, func(*report.Ranked) bool, ingest.Names, error](&writeFn{})
	register.Emitter2[string, screen.Row]()
	register.Emitter2[string, fate]()
	register.Emitter1[ingest.Names]()
	register.Emitter2[int, []byte]()
	register.Emitter2[string, place]()
	register.Emitter2[int, report.Ranked]()
	register.Iter1[screen.Row]()
	register.Iter1[fate]()
	register.Iter1[[]byte]()
	register.Iter1[place]()
	register.Iter1[report.Ranked]()
	// All workers run one executable, which is what rows may be sent between.
	beam.RegisterCoder(reflect.TypeFor[screen.Row](), func(r screen.Row) []byte { return r.Encode(nil) },
		func(b []byte) (r screen.Row, err error) { return r, r.Decode(b) })
	beam.RegisterCoder(reflect.TypeFor[report.Ranked](), packRanked, unpackRanked)
}

// counted is the namespace of the counters, which the driver prints.
const counted = "wallsift"

var (
	rowsRejected = beam.NewCounter(counted, "rows rejected")
	filesBroken  = beam.NewCounter(counted, "files not read to their end")
	homesJudged  = beam.NewCounter(counted, "homes judged")
	casesAsked   = beam.NewCounter(counted, "engine runs asked for")
)

// job is what every worker is told. It travels with the pipeline.
type job struct {
	Config     string // the whole of it, as YAML
	Inventory  []string
	Out, Store string // folders
	Part       int    // most homes in a file of the ranking
}

// engines are the configurations compiled in this process, for all its goroutines:
// an engine holds the hours of the climates it met.
var engines = struct {
	sync.Mutex
	of map[[2]string]*engine // by configuration and store
}{of: map[[2]string]*engine{}}

// engine is a configuration, compiled, with the store it keeps runs in, nil for none.
type engine struct {
	*screen.Engine
	kept *store.Store
	told sync.Once
}

// tell says once what is wrong with the store. No answer depends on it.
func (e *engine) tell(ctx context.Context) {
	if e.kept == nil {
		return
	}
	if notes := e.kept.Notes(); len(notes) > 0 {
		e.told.Do(func() { log.Warn(ctx, strings.Join(notes, "; ")) })
	}
}

func (j *job) engine() (*engine, error) {
	engines.Lock()
	defer engines.Unlock()
	key := [2]string{j.Config, j.Store}
	if e := engines.of[key]; e != nil {
		return e, nil
	}
	f, err := os.CreateTemp("", "wallsift-*.yaml")
	if err != nil {
		return nil, err
	}
	defer os.Remove(f.Name())
	_, err = f.WriteString(j.Config)
	if err = errors.Join(err, f.Close()); err != nil {
		return nil, err
	}
	l, err := config.Load(config.Inputs{Files: []string{f.Name()}})
	if err != nil {
		return nil, err
	}
	var e engine
	if e.Engine, err = screen.NewEngine(l); err != nil {
		return nil, err
	}
	if j.Store != "" {
		if e.kept, err = store.Open(j.Store, screen.KeeperMethod); err != nil {
			return nil, err
		}
		e.Keeper = e.kept
	}
	engines.of[key] = &e
	return &e, nil
}

// fate is what a home's walls do not know of each other.
type fate struct {
	Lost    int  // walls whose rows were rejected
	Refused bool // the key of the home is the id of another row
}

// readFn reads the whole inventory on one worker: which row of an id counts, and
// where a column of the user's own stands, is a matter of reading order. Reading a
// home takes less than a thousandth of the time that the engine takes for it.
type readFn struct{ Job job }

// ProcessElement emits rows and fates under the key of their home, and at the end
// the names that rows refer to. Rejects go to their file.
func (f *readFn) ProcessElement(ctx context.Context, _ []byte, row func(string, screen.Row), fates func(string, fate), names func(ingest.Names)) error {
	e, err := f.Job.engine()
	if err != nil {
		return err
	}
	src, err := ingest.Open(f.Job.Inventory, e.InputOptions())
	if err != nil {
		return err
	}
	defer src.Close()
	// A worker that is given up leaves no half file under the final name.
	dir, err := os.MkdirTemp(f.Job.Out, ".reading-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	rejects, err := report.NewRejects(dir)
	if err != nil {
		return err
	}
	in := screen.NewIntake(src)
	for t, err := range in.Read(ctx) {
		if err != nil {
			return err
		}
		for _, b := range t.Rows {
			row(cmp.Or(b.Home, ingest.SameID(b.ID)), screen.Row{Building: b})
		}
		for _, rej := range t.Rejects {
			if err := rejects.Add(rej); err != nil {
				return err
			}
		}
	}
	for _, home := range in.Homes() {
		if home.Lost > 0 || home.Refused != nil {
			fates(home.Home, fate{home.Lost, home.Refused != nil})
		}
	}
	names(src.Names())
	rowsRejected.Inc(ctx, int64(in.Rejected))
	filesBroken.Inc(ctx, int64(in.BrokenFiles))
	for _, note := range src.Notes() {
		log.Warn(ctx, note)
	}
	if err := rejects.Close(); err != nil {
		return err
	}
	return os.Rename(filepath.Join(dir, report.RejectsCSV), filepath.Join(f.Job.Out, report.RejectsCSV))
}

// judgeFn judges homes.
type judgeFn struct {
	Job    job
	engine *engine
	worker *screen.Worker
}

// Setup compiles the configuration.
func (f *judgeFn) Setup() (err error) {
	if f.engine, err = f.Job.engine(); err == nil {
		f.worker = f.engine.NewWorker()
	}
	return err
}

// ProcessElement judges a home by the rows of its walls, or by its one row. It
// emits the answer, and for each order the home stands in its key there.
func (f *judgeFn) ProcessElement(ctx context.Context, home string, rows func(*screen.Row) bool, fates func(*fate) bool, answer func(string, screen.Row), key func(int, []byte)) error {
	var walls []ingest.Building
	var its fate
	fates(&its)
	for row := (screen.Row{}); rows(&row); row = (screen.Row{}) {
		if !its.Refused || row.Building.Home == "" { // the row of that id stays
			walls = append(walls, row.Building)
		}
	}
	if len(walls) == 0 {
		return nil
	}
	row, err := f.worker.JudgeHome(walls, its.Lost)
	if err != nil {
		return err
	}
	f.engine.tell(ctx)
	homesJudged.Inc(ctx, 1)
	casesAsked.Inc(ctx, int64(row.Cases))
	answer(home, row)
	ranked := func(order int, j *screen.Judgement) {
		key(order, append(binary.BigEndian.AppendUint64(nil, j.RankKey()), row.Building.ID...))
	}
	ranked(overall, &row.Judgements[0])
	for i := range row.Judgements {
		ranked(int(row.Judgements[i].Strategy), &row.Judgements[i])
	}
	return nil
}

// overall is the order of homes by their best strategies; the others have the number
// of their strategy.
const overall = -1

// place is where a home stands in an order, from 1.
type place struct{ Order, Place int }

// rankFn sorts an order.
type rankFn struct{}

// ProcessElement sorts the keys of one order: key and id compare as bytes do.
func (*rankFn) ProcessElement(order int, keys func(*[]byte) bool, at func(string, place)) {
	var all []string
	for key := []byte(nil); keys(&key); {
		all = append(all, string(key))
	}
	slices.Sort(all)
	for i, key := range all {
		at(ingest.SameID(key[8:]), place{order, i + 1})
	}
}

// partFn joins a home with its ranks, and says which part of the ranking it goes to.
type partFn struct{ Job job }

// ProcessElement takes the one row of a home and its places.
func (f *partFn) ProcessElement(_ string, rows func(*screen.Row) bool, places func(*place) bool, emit func(int, report.Ranked)) {
	var home report.Ranked
	rows(&home.Row)
	for at := (place{}); places(&at); {
		if at.Order == overall {
			home.Overall = at.Place
			continue
		}
		home.Within = append(home.Within, make([]int, max(0, at.Order+1-len(home.Within)))...)
		home.Within[at.Order] = at.Place
	}
	emit((home.Overall-1)/f.Job.Part, home)
}

// writeFn writes the parts of the ranking.
type writeFn struct{ Job job }

// ProcessElement writes one part in order of rank. Names sort as parts do.
func (f *writeFn) ProcessElement(part int, homes func(*report.Ranked) bool, names ingest.Names) error {
	e, err := f.Job.engine()
	if err != nil {
		return err
	}
	var all []report.Ranked
	for home := (report.Ranked{}); homes(&home); home = (report.Ranked{}) {
		all = append(all, home)
	}
	slices.SortFunc(all, func(a, b report.Ranked) int { return cmp.Compare(a.Overall, b.Overall) })
	dir, err := os.MkdirTemp(f.Job.Out, ".writing-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	name := fmt.Sprintf("ranking-%05d.parquet", part)
	if err := report.WriteParquet(filepath.Join(dir, name), e.Engine, names, all); err != nil {
		return err
	}
	return os.Rename(filepath.Join(dir, name), filepath.Join(f.Job.Out, name))
}

func packRanked(r report.Ranked) []byte {
	buf := binary.AppendUvarint(nil, uint64(r.Overall))
	buf = binary.AppendUvarint(buf, uint64(len(r.Within)))
	for _, place := range r.Within {
		buf = binary.AppendUvarint(buf, uint64(place))
	}
	return r.Row.Encode(buf)
}

func unpackRanked(buf []byte) (r report.Ranked, err error) {
	number := func() int {
		x, n := binary.Uvarint(buf)
		buf = buf[max(n, 0):]
		return int(x)
	}
	r.Overall = number()
	r.Within = make([]int, number())
	for i := range r.Within {
		r.Within[i] = number()
	}
	return r, r.Row.Decode(buf)
}
