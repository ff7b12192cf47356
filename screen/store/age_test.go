package store_test

import (
	"os"
	"strconv"
	"testing"
	"time"

	"wallsift/screen/store"
)

// on sets the day for the rest of a test.
func on(t *testing.T, day int) {
	store.SetDay(day)
	t.Cleanup(func() { store.SetDay(0) })
}

// use reads entries as one run would, and returns what the store counted.
func use(t testing.TB, dir string, days, from, to int) store.Counters {
	t.Helper()
	s := openFor(t, dir, days)
	for i := from; i < to; i++ {
		if _, ok := s.Get(key(i)); !ok {
			t.Fatalf("entry %d is lost", i)
		}
	}
	closed(t, s)
	return s.Counters()
}

func size(t testing.TB, dir string) (bytes int64) {
	t.Helper()
	for _, f := range glob(t, dir, "*") {
		info, err := os.Stat(f)
		if err != nil {
			t.Fatal(err)
		}
		bytes += info.Size()
	}
	return bytes
}

// What is asked for every night stays for ever, what is not asked for stays for
// the days that were promised and is gone soon after.
func TestUnusedIsDropped(t *testing.T) {
	for _, days := range []int{1, 3, 10, store.KeepDays} {
		dir := t.TempDir()
		const start = 20000
		on(t, start)
		fill(t, dir, 0, 100)
		full := size(t, dir)
		gone := 0
		for day := 1; day <= 2*days+4; day++ {
			on(t, start+day)
			use(t, dir, days, 0, 40)
			s := openFor(t, dir, days)
			n := s.Counters().Entries
			if n < 100 && gone == 0 {
				gone = day
			}
			if day <= days && n != 100 {
				t.Fatalf("keep %d days: %d entries left on day %d", days, n, day)
			}
			closed(t, s)
		}
		s := openFor(t, dir, days)
		if n := found(t, s, 100); n != 40 {
			t.Errorf("keep %d days: %d entries left at the end", days, n)
		}
		closed(t, s)
		if late := gone - days; late > max(days/4, 1)+1 {
			t.Errorf("keep %d days: entries went %d days late", days, late)
		}
		if now := size(t, dir); now > full/2 {
			t.Errorf("keep %d days: %d bytes of %d are left", days, now, full)
		}
	}
}

// More than a year of nights, each with a part that is new: the folder stays as large
// as what the kept days hold.
func TestBounded(t *testing.T) {
	dir := t.TempDir()
	const (
		start, nights, days = 20000, 400, 20
		steady, fresh       = 30, 10 // entries asked for every night, and once
	)
	most := 0
	for night := range nights {
		on(t, start+night)
		s := openFor(t, dir, days)
		for i := range steady {
			if _, ok := s.Get(key(i)); !ok && night > 0 {
				t.Fatalf("night %d: entry %d is lost", night, i)
			}
			s.Put(key(i), value(i))
		}
		for i := range fresh {
			i += steady + night*fresh
			s.Put(key(i), value(i))
		}
		closed(t, s)
		most = max(most, s.Counters().Entries)
		if night%100 == 99 {
			live := int64(steady + fresh*(days+days/4+1))
			if got, want := size(t, dir), 3*live*(valueBytes+64); got > want {
				t.Fatalf("night %d: %d bytes, %d live entries", night, got, live)
			}
		}
	}
	if most > 3*(steady+fresh*(days+days/4+1)) {
		t.Errorf("up to %d entries", most)
	}
}

// 0 keeps for ever, and turning the age on later loses nothing that the first
// night after it asks for.
func TestKeptForEver(t *testing.T) {
	dir := t.TempDir()
	on(t, 20000)
	fill(t, dir, 0, 50)
	for day := 20100; day < 23000; day += 100 {
		on(t, day)
		if c := use(t, dir, 0, 0, 50); c.Renewed != 0 || c.Dropped != 0 || c.Entries != 50 {
			t.Fatalf("day %d: %+v", day, c)
		}
	}
	if c := use(t, dir, 30, 0, 20); c.Renewed != 20 || c.Dropped != 30 {
		t.Errorf("after the age was turned on: %+v", c)
	}
	if n := found(t, openFor(t, dir, 30), 50); n != 20 {
		t.Errorf("%d entries left, want the 20 that were asked for", n)
	}
}

// A clock that was wrong for a night, far ahead or at the beginning of time,
// costs at most what was not asked for in that night.
func TestWrongClock(t *testing.T) {
	for _, wrong := range []int{1, 30000} {
		dir := t.TempDir()
		on(t, 20000)
		fill(t, dir, 0, 30)
		on(t, wrong)
		use(t, dir, 30, 0, 20)
		fill(t, dir, 100, 110)
		for day := 20001; day < 20200; day += 3 {
			on(t, day)
			use(t, dir, 30, 0, 20)
		}
		if n := found(t, openFor(t, dir, 30), 30); n != 20 {
			t.Errorf("clock at day %d: %d entries, want 20", wrong, n)
		}
	}
}

// A damaged entry that is written again by a process whose clock is behind is
// found.
func TestRewrittenWithClockBehind(t *testing.T) {
	dir := t.TempDir()
	on(t, 20050)
	fill(t, dir, 0, 10)
	file := glob(t, dir, "*.values")[0]
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	b[5] ^= 1
	if err := os.WriteFile(file, b, 0o644); err != nil {
		t.Fatal(err)
	}
	on(t, 20000)
	s := open(t, dir)
	if n := found(t, s, 10); n != 9 || len(s.Notes()) != 1 {
		t.Fatalf("%d entries, notes %v", n, s.Notes())
	}
	s.Put(key(0), value(0))
	closed(t, s)
	if n := found(t, open(t, dir), 10); n != 10 {
		t.Errorf("%d entries", n)
	}
}

// Files of other methods go by their age, and never while a process has them
// open; files of nobody's stay.
func TestOtherMethodsExpire(t *testing.T) {
	dir := t.TempDir()
	other := func() *store.Store {
		s, err := store.Open(dir, "hourly 2", store.KeepDays)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	for range 2 {
		s := other()
		s.Put(key(1), value(1))
		closed(t, s)
	}
	held := other()
	held.Put(key(2), value(2))
	const today = 40000
	old := time.Unix((today-store.KeepDays-40)*24*60*60, 0)
	for _, f := range append(glob(t, dir, "*"), dir+"/v2-0123456789ab-000000000001.keys", dir+"/v1-notes.keys", dir+"/v1-0123456789ab-000000000001.values") {
		if err := os.WriteFile(f+".x", nil, 0o644); err != nil {
			t.Fatal(err)
		}
		if _, err := os.Stat(f); err != nil {
			os.Rename(f+".x", f)
		} else {
			os.Remove(f + ".x")
		}
		if err := os.Chtimes(f, old, old); err != nil {
			t.Fatal(err)
		}
	}
	on(t, today)
	s := openFor(t, dir, 0)
	closed(t, s)
	if n := len(glob(t, dir, "*.values")); n != 3 {
		t.Fatalf("0 days: %d files of values left, want all 3", n)
	}
	fill(t, dir, 0, 10)
	got := glob(t, dir, "v*")
	// The pair that is held, the new pair, and two files that are nobody's.
	if len(got) != 6 {
		t.Errorf("left: %v", got)
	}
	if v, ok := held.Get(key(2)); !ok || string(v) != string(value(2)) {
		t.Error("an entry of an open store is lost")
	}
	store.SetDay(0)
	closed(t, held)
}

// Two processes use the same old entries at once and both write them anew.
func TestTwoProcessesRenew(t *testing.T) {
	dir := t.TempDir()
	for round := range 4 {
		on(t, 20000+60*round)
		if round == 0 {
			fill(t, dir, 0, 150)
			continue
		}
		a, outA := process(t, "use", dir, 0, 100)
		b, outB := process(t, "use", dir, 50, 150)
		if err := a.Start(); err != nil {
			t.Fatal(err)
		}
		if err := b.Start(); err != nil {
			t.Fatal(err)
		}
		go discard(outB)
		discard(outA)
		for _, c := range []interface{ Wait() error }{a, b} {
			if err := c.Wait(); err != nil {
				t.Error(err)
			}
		}
		s := open(t, dir)
		if n, c := found(t, s, 150), s.Counters(); n != 150 || c.Damaged != 0 {
			t.Fatalf("round %d: %d entries, %+v", round, n, c)
		}
		closed(t, s)
	}
}

// A process is killed while it writes used entries anew, or while it removes
// what they left behind. Nothing it used is lost.
func TestKilledRenewing(t *testing.T) {
	for round := range 16 {
		dir := t.TempDir()
		on(t, 20000)
		fill(t, dir, 0, 200)
		on(t, 20060)
		cmd, out := process(t, "use", dir, 0, 100)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		upTo(out, strconv.Itoa(min(round*12, 99))) // from 8 on it is at its end
		for range round * 2000 {
			os.Getpid() // a short while
		}
		cmd.Process.Kill()
		cmd.Wait()
		s := open(t, dir)
		if n, c := found(t, s, 200), s.Counters(); n != 200 || c.Damaged != 0 {
			t.Errorf("round %d: %d entries, %+v", round, n, c)
		}
		closed(t, s)
		on(t, 20140)
		use(t, dir, store.KeepDays, 0, 200)
		if k, v := len(glob(t, dir, "*.keys")), len(glob(t, dir, "*.values")); k != v {
			t.Errorf("round %d: %d files of keys, %d of values", round, k, v)
		}
	}
}
