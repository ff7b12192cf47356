package screen

import (
	"sync"

	"wallsift/model/indicator"
)

// caseKey names everything the heat and vapour part of a case depends on, so
// that equal walls are computed once. Thickness is in µm: exact for any
// thickness an inventory can mean.
type caseKey struct {
	thickness uint32
	zone      uint16
	stone     uint16
	strategy  uint8 // index, or bareWall
	outer     uint8 // finish level
	inner     uint8 // finish level
	depth     uint8 // timber depth class
	humidity  uint8 // humidity class level, 0 = unknown
	sized     uint8 // step of the sized layer from 1, 0 for its typical thickness
}

// bareWall stands for the wall as it is, before any strategy.
const bareWall = 255

// heatCase is one case under the three scenarios.
type heatCase [3]indicator.Heat

// memo keeps heat cases. It never changes a result, only how often it is
// computed; full shards stop taking new entries, so memory stays bounded: about
// 450 bytes an entry. Cases lie in blocks without pointers, so that the garbage
// collector has next to nothing to look at.
type memo struct {
	limit  int // entries a shard
	shards [memoShards]memoShard
}

type memoShard struct {
	sync.RWMutex
	at     map[caseKey]int32
	blocks []*[memoBlock]heatCase
}

const (
	memoShards = 64
	memoBlock  = 64
)

func newMemo(entries int) *memo {
	m := &memo{limit: entries / memoShards}
	for i := range m.shards {
		m.shards[i].at = map[caseKey]int32{}
	}
	return m
}

func (k *caseKey) shard() int {
	h := uint64(k.thickness)<<32 | uint64(k.zone)<<16 | uint64(k.stone)
	h ^= uint64(k.strategy)<<40 | uint64(k.outer)<<32 | uint64(k.inner)<<24 | uint64(k.humidity)<<8 ^ uint64(k.sized)
	h *= 0x9E3779B97F4A7C15 // Fibonacci hashing: spreads neighbouring thicknesses
	return int(h >> 58)
}

// get returns a case, nil when it is not kept. It must not be changed.
func (m *memo) get(k *caseKey) *heatCase {
	s := &m.shards[k.shard()]
	s.RLock()
	defer s.RUnlock()
	i, ok := s.at[*k]
	if !ok {
		return nil
	}
	return &s.blocks[i/memoBlock][i%memoBlock]
}

func (m *memo) put(k *caseKey, c *heatCase) {
	s := &m.shards[k.shard()]
	s.Lock()
	defer s.Unlock()
	n := len(s.at)
	if _, taken := s.at[*k]; taken || n >= m.limit {
		return
	}
	if n%memoBlock == 0 {
		s.blocks = append(s.blocks, new([memoBlock]heatCase))
	}
	s.blocks[n/memoBlock][n%memoBlock] = *c
	s.at[*k] = int32(n)
}
