package serve

import (
	"bytes"
	"container/list"
	"context"
	"encoding/json"
	"errors"
	"html/template"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"jarwright/jartest/note"
	"jarwright/templates"
	"jarwright/templates/figure"
)

// Call is a command line of the program and the files that it names.
type Call struct {
	Args  []string
	Files []File
	// Told is given the function that says how far a long run has come.
	Told func(what func() string)
	// Reads are what was read of files before.
	Reads *Reads
}

// Answer is what a call came to.
type Answer struct {
	// Report is what there is to show, nil where there is nothing, and Options how.
	Report  templates.Report
	Options templates.Options
	// Err is what went wrong, and Code the program's exit code.
	Err  error
	Code int
	// Said is what the command said beside its answer, a line each.
	Said []string
	// Wrote are the files that it wrote.
	Wrote []File
}

// Program runs a command of the program; it ends early when the context does.
type Program func(ctx context.Context, c Call) Answer

// errBusy says that too much is being worked on already.
var errBusy = errors.New("the program is busy with other work: try again in a moment")

// works runs calls: as many at a time as there are processors for, the same one only
// once, and keeps the answers that were used last.
type works struct {
	slots   chan struct{}
	waiting int   // the most that may wait or run, for all
	each    int   // the same for one client
	weight  int64 // what the answers that are kept may weigh together, bytes

	mu      sync.Mutex
	jobs    map[string]*list.Element // of *job, running or done
	order   *list.List               // of use, the latest in front
	clients map[string]int           // running or waiting
	running int
	idle    []call // for when nothing else is under way
	warming bool   // one of them runs
}

// call is a run that may be asked for later, of files of these contents.
type call struct {
	key string
	of  []string
	run func(ctx context.Context, told func(func() string)) Answer
	// then is done with the answer while nobody waits for it.
	then func(*job)
}

// job is a call that runs or has run.
type job struct {
	key     string
	of      []string // the contents of the files that it reads
	begun   time.Time
	done    chan struct{}
	cancel  context.CancelFunc
	answer  Answer
	mu      sync.Mutex
	told    func() string
	page    sync.Once     // its answer as a page
	above   template.HTML // down to the answer
	below   template.HTML
	bodyErr error
	memo    sync.Map     // what was made of its answer, see once
	weight  atomic.Int64 // bytes that its answer and what was made of it hold
	works   *works
}

// newWorks lets calls wait in turn: one that waits is a few words in memory, and its page says that it is working. All windows of one
// machine are one client, so its share is generous; it is there for a machine that asks without end.
func newWorks(atOnce int) *works {
	return &works{slots: make(chan struct{}, atOnce), waiting: 256, each: 128, weight: mostAnswers,
		jobs: map[string]*list.Element{}, order: list.New(), clients: map[string]int{}}
}

// do begins a call on files of these contents, or finds the one that is the same.
func (w *works) do(key, client string, run func(ctx context.Context, told func(func() string)) Answer, of ...string) (*job, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if e, ok := w.jobs[key]; ok {
		w.order.MoveToFront(e)
		return e.Value.(*job), nil
	}
	if w.running >= w.waiting || w.clients[client] >= w.each {
		return nil, errBusy
	}
	ctx, cancel := context.WithTimeout(context.Background(), longest)
	j := w.begin(key, of, cancel)
	w.clients[client]++
	w.running++
	go func() {
		defer cancel()
		select {
		case w.slots <- struct{}{}:
			j.answer = safely(ctx, j.tell, run)
			j.weight.Add(weigh(j.answer))
			<-w.slots
		case <-ctx.Done():
			j.answer = Answer{Err: ctx.Err(), Code: 1}
		}
		w.end(j, client)
	}()
	return j, nil
}

// begin takes a call in as the one that was asked for last.
func (w *works) begin(key string, of []string, cancel context.CancelFunc) *job {
	j := &job{key: key, of: of, works: w, begun: time.Now(), done: make(chan struct{}), cancel: cancel}
	j.weight.Store(bareJob)
	w.jobs[key] = w.order.PushFront(j)
	return j
}

// bareJob is what a call weighs beside its answer, in bytes, about: its key, its place, what it is found by.
const bareJob = 2 << 10

// safely runs a call whose fault must not take the page with it.
func safely(ctx context.Context, told func(func() string), run func(context.Context, func(func() string)) Answer) (a Answer) {
	defer func() {
		if r := recover(); r != nil {
			a = Answer{Err: note.Fault("program-fault", "the program has a fault of its own here: %v", r).Do("try it at a terminal, and tell those who keep the program what you did"), Code: 1}
		}
	}()
	return run(ctx, told)
}

// longest is the most that one call may take, waiting included.
const longest = 3 * time.Minute

// end counts a call out; one that was stopped is forgotten, so that it can begin anew.
func (w *works) end(j *job, client string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.clients[client]--; w.clients[client] == 0 {
		delete(w.clients, client)
	}
	w.running--
	w.settle(j)
	w.warm()
}

// settle lets those go on who wait for a call, and forgets one that was stopped.
func (w *works) settle(j *job) {
	close(j.done)
	if errors.Is(j.answer.Err, context.Canceled) || errors.Is(j.answer.Err, context.DeadlineExceeded) {
		w.forget(j)
	}
	w.trim(j)
}

// grew counts what was made of an answer.
func (j *job) grew(bytes int) {
	j.weight.Add(int64(bytes))
	j.works.mu.Lock()
	defer j.works.mu.Unlock()
	j.works.trim(j)
}

// trim forgets the answers that were longest unused while all are too heavy, but not the one that is being asked for.
func (w *works) trim(j *job) {
	weight := int64(0)
	for e := w.order.Front(); e != nil; e = e.Next() {
		weight += e.Value.(*job).weight.Load()
	}
	for e := w.order.Back(); e != nil && weight > w.weight; {
		before := e.Prev()
		if old := e.Value.(*job); done(old) && old != j {
			weight -= old.weight.Load()
			w.forget(old)
		}
		e = before
	}
}

// later takes calls that are likely to be asked for next, in place of those that waited before. They run one at a time, and only
// while nothing else does.
func (w *works) later(list []call) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.idle = list
	w.warm()
}

// warm begins the next of the calls that wait for quiet.
func (w *works) warm() {
	for !w.warming && w.running == 0 && len(w.idle) > 0 {
		c := w.idle[0]
		w.idle = w.idle[1:]
		if _, ok := w.jobs[c.key]; ok {
			continue
		}
		ctx, cancel := context.WithTimeout(context.Background(), longest)
		j := w.begin(c.key, c.of, cancel)
		w.warming = true
		go func() {
			defer cancel()
			j.answer = safely(ctx, j.tell, c.run)
			j.weight.Add(weigh(j.answer))
			if j.answer.Err == nil {
				c.then(j)
			}
			w.mu.Lock()
			defer w.mu.Unlock()
			w.warming = false
			w.settle(j)
			w.warm()
		}()
	}
}

// crowded reports a call that is not begun while others already wait for a turn: what nobody has asked for by itself can wait.
func (w *works) crowded(key string) bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	_, begun := w.jobs[key]
	return !begun && w.running > cap(w.slots)
}

// forget drops a job, but not another that has its key since.
func (w *works) forget(j *job) {
	if e, ok := w.jobs[j.key]; ok && e.Value == j {
		delete(w.jobs, j.key)
		w.order.Remove(e)
	}
}

// let ends and forgets all work on files of these contents.
func (w *works) let(contents []string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	reads := func(of []string) bool {
		return slices.ContainsFunc(of, func(sum string) bool { return slices.Contains(contents, sum) })
	}
	w.idle = slices.DeleteFunc(slices.Clone(w.idle), func(c call) bool { return reads(c.of) })
	for _, e := range w.jobs {
		if j := e.Value.(*job); reads(j.of) {
			j.cancel()
			w.forget(j)
		}
	}
}

// once makes something of a job's answer once, however many ask for it.
func once[T any](j *job, what string, make func() T) T {
	v, _ := j.memo.LoadOrStore(what, sync.OnceValue(make))
	return v.(func() T)()
}

// document reads the answer as programs have it; false where there is none.
func (j *job) document(into any) bool {
	data := once(j, "document", func() []byte {
		var b bytes.Buffer
		if r := j.answer.Report; r == nil || figure.WriteJSON(&b, r.JSON()) != nil {
			return nil
		}
		j.grew(b.Len())
		return bytes.Clone(b.Bytes())
	})
	return data != nil && json.Unmarshal(data, into) == nil
}

func done(j *job) bool {
	select {
	case <-j.done:
		return true
	default:
		return false
	}
}

// stop ends a running call.
func (w *works) stop(key string) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if e, ok := w.jobs[key]; ok && !done(e.Value.(*job)) {
		e.Value.(*job).cancel()
		w.forget(e.Value.(*job))
	}
}

// close ends all that runs.
func (w *works) close() {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.idle = nil
	for _, e := range w.jobs {
		e.Value.(*job).cancel()
	}
}

func (j *job) tell(what func() string) {
	j.mu.Lock()
	defer j.mu.Unlock()
	j.told = what
}

// progress says how far a call has come.
func (j *job) progress() string {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.told == nil {
		return "working"
	}
	return j.told()
}
