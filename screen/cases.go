package screen

import (
	"fmt"
	"math"
	"runtime"
	"sync"
	"unsafe"

	"golang.org/x/sync/singleflight"

	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/model/simulate"
	"wallsift/model/wall"
)

// caseOf lays out the case of a world under a strategy (nil: the wall as it is)
// with sized metres of insulation.
func (e *Engine) caseOf(z *zone, w *world, st *strategy, sized float64) simulate.Case {
	k := caseKey{thickness: uint32(math.Round(w.masonry * 1e6)), stone: w.stone, strategy: bareWall,
		outer: w.cat[ingest.OuterFinish], inner: w.cat[ingest.InnerFinish]}
	drying := false
	if st != nil {
		k.strategy = st.index
		drying = st.which.Has(indicator.DryingReserve)
	}
	c := simulate.Case{Stone: w.props, Skin: simulate.Skin{Factor: w.face, Depth: e.treated}, Climate: z.hourly(e.cfg), Indoor: w.indoor,
		Azimuth: w.azimuth, RainCoefficient: w.coefficient, LeakShare: w.leak, LeakDepth: e.leakDepth, Drying: drying, Params: &e.params, Settings: e.settings}
	e.buildWall(&c.Wall, &k, w.lambda, sized)
	for i := range c.Wall.Layers[:c.Wall.N] {
		if l := &c.Wall.Layers[i]; l.Role == wall.Masonry {
			l.Thickness = w.masonry // the key rounds it
		}
	}
	return c
}

// outcomes keeps what cases came to, so that equal cases run once, also when two
// workers meet them at the same time. Full, it keeps no more: results do not
// depend on it.
type outcomes struct {
	limit  int
	mu     sync.Mutex
	have   map[simulate.Key]*simulate.Outcome
	flight singleflight.Group
	kept   Keeper
	ran    int // cases asked for, each once
}

func newOutcomes(limit int) *outcomes {
	return &outcomes{limit: limit, have: map[simulate.Key]*simulate.Outcome{}}
}

// run returns the outcome of a case. It must not be changed.
func (o *outcomes) run(w *simulate.Worker, c *simulate.Case) (*simulate.Outcome, error) {
	key := c.Key()
	o.mu.Lock()
	out := o.have[key]
	o.mu.Unlock()
	if out != nil {
		return out, nil
	}
	got, err, _ := o.flight.Do(string(key[:]), func() (any, error) {
		out, err := o.fetch(w, c, key)
		if err != nil {
			return nil, err
		}
		o.mu.Lock()
		defer o.mu.Unlock()
		o.ran++
		if len(o.have) < o.limit {
			o.have[key] = &out
		}
		return &out, nil
	})
	if err != nil {
		return nil, err
	}
	return got.(*simulate.Outcome), nil
}

// Keeper keeps outcomes between runs, by the key of their case; see screen/store.
type Keeper interface {
	Get(key [32]byte) ([]byte, bool)
	Put(key [32]byte, value []byte) error
}

// KeeperMethod names what a Keeper may hold for this build: the method and how
// an outcome lies in memory.
var KeeperMethod = fmt.Sprintf("%s-%d-%s", simulate.Method, outcomeSize, runtime.GOARCH)

const outcomeSize = int(unsafe.Sizeof(simulate.Outcome{}))

// Keep makes the engine take outcomes from k and put new ones there.
func (e *Engine) Keep(k Keeper) { e.outcomes.kept = k }

// fetch takes an outcome from the keeper or runs the case.
func (o *outcomes) fetch(w *simulate.Worker, c *simulate.Case, key simulate.Key) (out simulate.Outcome, err error) {
	bytes := func() []byte { return (*[outcomeSize]byte)(unsafe.Pointer(&out))[:] }
	if o.kept != nil {
		if b, ok := o.kept.Get(key); ok && len(b) == outcomeSize {
			copy(bytes(), b)
			return out, nil
		}
	}
	if out, err = w.Run(c, nil); err != nil {
		return out, err
	}
	if o.kept != nil {
		_ = o.kept.Put(key, bytes()) // one that fails ends the keeping, and is in the keeper's notes
	}
	return out, nil
}
