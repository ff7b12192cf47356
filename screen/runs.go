package screen

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/gob"
	"fmt"
	"math"
	"slices"
	"sync"
	"sync/atomic"

	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/model/simulate"
)

// Keeper keeps records between runs, each under a key of its own; see
// screen/store. A record that is missing or damaged is not found,
// and what cannot be put is found again: a full disk ends the keeping, not the run.
type Keeper interface {
	Get(key [32]byte) ([]byte, bool)
	Put(key [32]byte, value []byte)
}

// KeeperMethod names what a Keeper may hold for this build.
const KeeperMethod = simulate.Method

// Keep makes the engine take what it found before from k and put new results there.
func (e *Engine) Keep(k Keeper) { e.keeper = k }

// runs holds the engine runs of one home. Outcomes are kept apart from how they
// are judged, so that a changed limit or threshold asks for no new run. Several
// goroutines may ask at once.
type runs struct {
	e    *Engine
	sims chan *simulate.Worker // idle ones
	home [32]byte

	mu   sync.Mutex
	made map[simulate.Key]*made

	asked atomic.Int32 // cases
	new   atomic.Bool  // something was found that the keeper has not
}

// made is one case's outcome and, where it was run here and not before, the
// settled state that others may start from.
type made struct {
	mu      sync.Mutex // held while the engine runs
	asked   bool
	outcome *simulate.Outcome
	settled *simulate.Settled
}

func (e *Engine) newRuns(sims chan *simulate.Worker, b *ingest.Building) *runs {
	r := &runs{e: e, sims: sims, home: homeKey(b), made: map[simulate.Key]*made{}}
	if e.keeper == nil {
		return r
	}
	var list []kept
	record, _ := e.keeper.Get(r.home)
	if gob.NewDecoder(bytes.NewReader(record)).Decode(&list) == nil { // what another build wrote and this one cannot read is run again
		for i := range list {
			r.made[list[i].Key] = &made{outcome: &list[i].Outcome}
		}
	}
	return r
}

// homeKey names the facts a building is judged by, so that two runs can tell
// whether its row changed. What only rides along is not in it.
func homeKey(b *ingest.Building) [32]byte {
	buf := append([]byte(b.Stone+"\x00"+b.Zone+"\x00"), b.Cat[:]...)
	for _, x := range b.Num {
		buf = binary.LittleEndian.AppendUint64(buf, math.Float64bits(x))
	}
	buf = binary.LittleEndian.AppendUint16(buf, uint16(b.Facings))
	for _, r := range b.Ranges {
		buf = append(buf, byte(r.Of))
		buf = binary.LittleEndian.AppendUint64(buf, math.Float64bits(r.Low))
		buf = binary.LittleEndian.AppendUint64(buf, math.Float64bits(r.High))
	}
	if b.Home != "" {
		buf = append(buf, 1) // one wall of several faces one way
	}
	return sha256.Sum256(buf)
}

// kept is one outcome in a record, its fields encoded by name.
type kept struct {
	Key     simulate.Key
	Outcome simulate.Outcome
}

// close keeps what is new. Outcomes that this run did not ask for stay in the
// record: another configuration may want them tomorrow.
func (r *runs) close() error {
	if r.e.keeper == nil || !r.new.Load() {
		return nil
	}
	var list []kept
	for key, m := range r.made {
		if m.outcome != nil {
			list = append(list, kept{key, *m.outcome})
		}
	}
	slices.SortFunc(list, func(a, b kept) int { return bytes.Compare(a.Key[:], b.Key[:]) })
	var buf bytes.Buffer
	if err := gob.NewEncoder(&buf).Encode(list); err != nil {
		return fmt.Errorf("keeping results: %w", err)
	}
	r.e.keeper.Put(r.home, buf.Bytes())
	return nil
}

// job is a case and the one whose settled state it starts from, nil for none.
type job struct {
	*simulate.Case
	from *job
}

func (j *job) key() simulate.Key {
	if j == nil {
		return simulate.Key{}
	}
	return j.Key(j.from.key())
}

// run returns the outcome of a job.
func (r *runs) run(j *job) (*simulate.Outcome, error) {
	m, err := r.get(j, false)
	return m.outcome, err
}

// get makes a job that is not made yet, or whose settled state is wanted and not at
// hand: an outcome from a record has none.
func (r *runs) get(j *job, settled bool) (*made, error) {
	key := j.key()
	r.mu.Lock()
	m := r.made[key]
	if m == nil {
		m = &made{}
		r.made[key] = m
	}
	r.mu.Unlock()
	m.mu.Lock()
	defer m.mu.Unlock()
	if !settled && !m.asked {
		m.asked = true
		r.asked.Add(1)
	}
	if m.outcome != nil && (!settled || m.settled != nil || m.outcome.Failed) { // what failed once fails again
		return m, nil
	}
	o, state, err := r.engine(j, nil)
	if err == nil && m.outcome == nil {
		m.outcome = &o
		r.new.Store(true)
	}
	m.settled = state
	return m, err
}

// engine runs a job from the state it starts in; course, if not nil, receives the
// judged year day by day.
func (r *runs) engine(j *job, course *simulate.Course) (simulate.Outcome, *simulate.Settled, error) {
	var from *simulate.Settled
	if j.from != nil {
		m, err := r.get(j.from, true)
		if err != nil {
			return simulate.Outcome{}, nil, err
		}
		from = m.settled
	}
	sim := <-r.sims
	defer func() { r.sims <- sim }()
	return sim.Run(j.Case, from, course)
}

// caseOf lays out the case of a world with sized metres of insulation, facing azimuth.
func (e *Engine) caseOf(at *world, sized, azimuth float64) *simulate.Case {
	c := &simulate.Case{Stone: at.props, Skin: simulate.Skin{Factor: at.passes, Depth: e.treated}, CoatUptake: at.film,
		Climate: at.zone.mean, Year: at.zone.judgedIn(at.year), Indoor: at.indoor, Azimuth: azimuth, RainCoefficient: at.uptake, Wind: at.wind, Sun: at.sun,
		LeakShare: at.leak, LeakDepth: e.leakDepth, Places: &e.places, Timber: at.depths, Settings: e.settings}
	c.Timber[depthJoists] = true // pages draw the course there
	e.layers(&c.Wall, at, sized)
	return c
}

// question asks an outcome what the strategy of a world is judged by.
func (e *Engine) question(at *world, before *simulate.Outcome) *simulate.Question {
	return &simulate.Question{Which: at.under.which, Limits: &e.limits, Timber: at.timber, Classes: at.depths, Before: before}
}

// timberMeasures are what a strip of bare wall at the joists takes off a lining.
var timberMeasures = []indicator.ID{indicator.TimberHumidity, indicator.TimberMoisture, indicator.TimberDecay}
