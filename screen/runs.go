package screen

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/gob"
	"fmt"
	"slices"
	"sync"

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

// made is one case's outcome and, where it was run here and not before, the
// settled state that others may start from.
type made struct {
	mu      sync.Mutex // held while the engine runs
	asked   bool
	outcome *simulate.Outcome
	settled *simulate.Settled
}

// remember takes what was made of the home before.
func (h *home) remember() {
	h.made = map[simulate.Key]*made{}
	if h.e.Keeper == nil {
		return
	}
	var list []kept
	record, _ := h.e.Keeper.Get(homeKey(h.b))
	if gob.NewDecoder(bytes.NewReader(record)).Decode(&list) == nil { // what another build wrote and this one cannot read is run again
		for i := range list {
			h.made[list[i].Key] = &made{outcome: &list[i].Outcome}
		}
	}
	h.known = len(h.made)
}

// homeKey names the facts a building is judged by, so that two runs can tell
// whether its row changed. What only rides along is not in it.
func homeKey(b *ingest.Building) [32]byte {
	buf := append([]byte(b.Stone+"\x00"+b.Zone+"\x00"), b.Cat[:]...)
	for _, x := range []any{b.Num, b.Facings, b.Ranges} {
		buf, _ = binary.Append(buf, binary.LittleEndian, x) // all of them are of fixed size
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

// close keeps what is new, and counts the cases that were asked for. Outcomes that
// this run did not ask for stay in the record: another configuration may want them
// tomorrow.
func (h *home) close() (cases int, err error) {
	var list []kept
	for key, m := range h.made {
		list = append(list, kept{key, *m.outcome})
		if m.asked {
			cases++
		}
	}
	if h.e.Keeper == nil || len(list) == h.known {
		return cases, nil
	}
	slices.SortFunc(list, func(a, b kept) int { return bytes.Compare(a.Key[:], b.Key[:]) })
	var buf bytes.Buffer
	if err := gob.NewEncoder(&buf).Encode(list); err != nil {
		return cases, fmt.Errorf("keeping results: %w", err)
	}
	h.e.Keeper.Put(homeKey(h.b), buf.Bytes())
	return cases, nil
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

// run returns the outcome of a world's run.
func (h *home) run(by numerics, at *world, facing, sized float64) (*simulate.Outcome, error) {
	m, err := h.get(h.job(by, at, facing, sized), false)
	return m.outcome, err
}

// get makes a job that is not made yet, or whose settled state is wanted and not at
// hand: an outcome from a record has none.
func (h *home) get(j *job, settled bool) (*made, error) {
	key := j.key()
	h.mu.Lock()
	m := h.made[key]
	if m == nil {
		m = &made{}
		h.made[key] = m
	}
	h.mu.Unlock()
	m.mu.Lock()
	defer m.mu.Unlock()
	m.asked = m.asked || !settled
	if m.outcome != nil && (!settled || m.settled != nil || m.outcome.Failed) { // what failed once fails again
		return m, nil
	}
	o, state, err := h.engine(j, nil)
	if err == nil && m.outcome == nil {
		m.outcome = &o
	}
	m.settled = state
	return m, err
}

// engine runs a job from the state it starts in; course, if not nil, receives the
// judged year day by day.
func (h *home) engine(j *job, course *simulate.Course) (simulate.Outcome, *simulate.Settled, error) {
	var from *simulate.Settled
	if j.from != nil {
		m, err := h.get(j.from, true)
		if err != nil {
			return simulate.Outcome{}, nil, err
		}
		from = m.settled
	}
	sim := <-h.w.sims
	defer func() { h.w.sims <- sim }()
	return sim.Run(j.Case, from, course)
}

// caseOf completes the case of a world, to be run finely: with sized metres of
// insulation, facing azimuth.
func (e *Engine) caseOf(at *world, sized, azimuth float64) *simulate.Case {
	c := at.Case
	c.Azimuth, c.Settings = azimuth, e.numerics(fine, false)
	c.Timber[depthJoists] = true // pages draw the course there
	e.layers(&c.Wall, at, sized)
	return &c
}

// question asks an outcome what the strategy of a world is judged by.
func (e *Engine) question(at *world, before *simulate.Outcome) *simulate.Question {
	return &simulate.Question{Which: at.under.which, Limits: &e.limits, Classes: at.Timber, Before: before}
}

// timberMeasures are what a strip of bare wall at the joists takes off a lining.
var timberMeasures = []indicator.ID{indicator.TimberHumidity, indicator.TimberMoisture, indicator.TimberDecay}
