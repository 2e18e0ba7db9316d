package sandbox

import (
	"math"

	lua "github.com/yuin/gopher-lua"
)

// Estimated bytes of what Lua builds. They are upper estimates for gopher-lua v1.1.2 on 64 bits; TestEstimates compares
// them with the heap.
const (
	bytesTable   = 128  // an empty table
	bytesSlot    = 80   // an array element: the slot, growth, and a number's box
	bytesNumber  = 48   // a number's box: it may hold a block of others that nobody needs
	bytesHash    = 1700 // a hash part, whatever it was made by
	bytesNewHash = 2600 // a hash part made by an assignment: gopher-lua makes room for 32 keys
	bytesKey     = 220  // a key and its value
	bytesClosure = 112
	bytesUpvalue = 72
	bytesString  = 32
)

// bytesPerStep is how many bytes of copying, comparing or hashing count as one step: a step is some 20 ns.
const bytesPerStep = 64

// valuesPerStep is how many registers copied count as one step.
const valuesPerStep = 8

// long is the length from which a string's work is charged.
const long = 4 * bytesPerStep

type inspector func(w *watch, f *frame, inst uint32)

// inspectors has an entry for each instruction whose cost depends on its operands.
var inspectors = [64]inspector{
	lua.OP_GETTABLE:   inspectGet,
	lua.OP_GETTABLEKS: inspectGetNamed,
	lua.OP_SELF:       inspectGetNamed,
	lua.OP_SETTABLE:   inspectSet,
	lua.OP_SETTABLEKS: inspectSetNamed,
	lua.OP_SETGLOBAL:  inspectSetGlobal,
	lua.OP_NEWTABLE:   inspectNewTable,
	lua.OP_ADD:        inspectArithmetic,
	lua.OP_SUB:        inspectArithmetic,
	lua.OP_MUL:        inspectArithmetic,
	lua.OP_DIV:        inspectArithmetic,
	lua.OP_MOD:        inspectArithmetic,
	lua.OP_POW:        inspectArithmetic,
	lua.OP_UNM:        inspectMinus,
	lua.OP_LEN:        inspectLength,
	lua.OP_CONCAT:     inspectConcat,
	lua.OP_EQ:         inspectCompare,
	lua.OP_LT:         inspectCompare,
	lua.OP_LE:         inspectCompare,
	lua.OP_CALL:       inspectCall,
	lua.OP_TAILCALL:   inspectCall,
	lua.OP_RETURN:     inspectReturn,
	lua.OP_SETLIST:    inspectSetList,
	lua.OP_CLOSURE:    inspectClosure,
	lua.OP_VARARG:     inspectVararg,
}

// The operands of an instruction (gopher-lua's opcode.go).
func argA(inst uint32) int  { return int(inst>>18) & 0xff }
func argB(inst uint32) int  { return int(inst & 0x1ff) }
func argC(inst uint32) int  { return int(inst>>9) & 0x1ff }
func argBx(inst uint32) int { return int(inst & 0x3ffff) }

const constantBit = 1 << 8

// at is the value of a register of the running function.
func (w *watch) at(f *frame, register int) lua.LValue { return w.values.array[f.LocalBase+register] }

// value is the value of an operand that is a register or a constant.
func (w *watch) value(f *frame, operand int) lua.LValue {
	if operand&constantBit != 0 {
		return f.Fn.Proto.Constants[operand&^constantBit]
	}
	return w.at(f, operand)
}

// chargeString charges the work on one long string.
func (w *watch) chargeString(v lua.LValue) {
	if s, is := v.(lua.LString); is && len(s) > long {
		w.box.charge(w.state, len(s)/bytesPerStep)
	}
}

func inspectGet(w *watch, f *frame, inst uint32) {
	key := w.value(f, argC(inst))
	w.checkIndexable(f, argB(inst), key)
	w.chargeString(key)
}

func inspectGetNamed(w *watch, f *frame, inst uint32) {
	w.checkIndexable(f, argB(inst), w.value(f, argC(inst)))
}

func (w *watch) checkIndexable(f *frame, register int, key lua.LValue) {
	switch w.at(f, register).(type) {
	case *lua.LNilType, *lua.LFunction:
		w.failLookup(f, register, "look up", key)
	}
}

// inspectSet charges t[k] = v: a key far beyond an array's end makes gopher-lua fill all places before it.
func inspectSet(w *watch, f *frame, inst uint32) {
	key := w.value(f, argB(inst))
	w.chargeString(key)
	switch t := w.at(f, argA(inst)).(type) {
	case *lua.LTable:
		w.box.chargeSet(w.state, t, key)
	case *lua.LNilType, *lua.LFunction:
		w.failLookup(f, argA(inst), "set", key)
	}
}

func inspectSetNamed(w *watch, f *frame, inst uint32) {
	switch t := w.at(f, argA(inst)).(type) {
	case *lua.LTable:
		w.box.holdKey(w.state, tableOf(t))
	case *lua.LNilType, *lua.LFunction:
		w.failLookup(f, argA(inst), "set", w.value(f, argB(inst)))
	}
}

func inspectSetGlobal(w *watch, f *frame, inst uint32) { w.box.hold(w.state, bytesKey+bytesNumber) }

// chargeSet charges a raw assignment with any key.
func (b *Box) chargeSet(L *lua.LState, t *lua.LTable, key lua.LValue) {
	inner := tableOf(t)
	n, is := key.(lua.LNumber)
	if !is || n < 1 || n >= lua.LNumber(lua.MaxArrayIndex) || n != lua.LNumber(int(n)) {
		b.holdKey(L, inner)
		return
	}
	switch gap := int(n) - len(inner.array); {
	case gap > 1:
		b.hold(L, (gap+32)*bytesSlot/2)
		b.charge(L, gap/valuesPerStep)
	case inner.array == nil:
		b.hold(L, 32*bytesSlot/2)
	default:
		b.hold(L, bytesSlot)
	}
}

func (b *Box) holdKey(L *lua.LState, t *table) {
	if t.strdict == nil && t.dict == nil {
		b.hold(L, bytesNewHash)
		return
	}
	b.hold(L, bytesKey+bytesNumber)
}

func inspectNewTable(w *watch, f *frame, inst uint32) {
	bytes := bytesTable + argB(inst)*bytesSlot
	if c := argC(inst); c > 0 {
		bytes += bytesHash + c*bytesKey
	}
	w.box.hold(w.state, bytes)
}

func inspectArithmetic(w *watch, f *frame, inst uint32) {
	if _, number := w.value(f, argB(inst)).(lua.LNumber); !number {
		w.chargeString(w.value(f, argB(inst)))
	}
	if _, number := w.value(f, argC(inst)).(lua.LNumber); !number {
		w.chargeString(w.value(f, argC(inst)))
	}
}

func inspectMinus(w *watch, f *frame, inst uint32) { w.chargeString(w.value(f, argB(inst))) }

func inspectLength(w *watch, f *frame, inst uint32) {
	if t, is := w.value(f, argB(inst)).(*lua.LTable); is {
		w.box.chargeLength(w.state, t)
	}
}

// chargeLength charges what finding a table's length costs.
func (b *Box) chargeLength(L *lua.LState, t *lua.LTable) {
	if n := tableOf(t).tail(); n > valuesPerStep {
		b.charge(L, n/valuesPerStep)
	}
}

func inspectConcat(w *watch, f *frame, inst uint32) {
	size := 0
	for register := argB(inst); register <= argC(inst); register++ {
		if s, is := w.at(f, register).(lua.LString); is {
			size += len(s)
		} else {
			size += bytesString // a number as text
		}
	}
	w.box.holdString(w.state, size)
	w.writeNumbers(f, inst)
}

// writeNumbers puts the numbers that are about to be joined with texts as Lua writes them; the registers hold copies
// for this alone. Where something else is among them, which is an error or a metamethod's, they stay.
func (w *watch) writeNumbers(f *frame, inst uint32) {
	broken := false
	for register := argB(inst); register <= argC(inst); register++ {
		n, is := w.at(f, register).(lua.LNumber)
		if !is && !lua.LVCanConvToString(w.at(f, register)) {
			return
		}
		broken = broken || is && float64(n) != math.Trunc(float64(n))
	}
	for register := argB(inst); broken && register <= argC(inst); register++ {
		if n, is := w.at(f, register).(lua.LNumber); is {
			w.values.array[f.LocalBase+register] = lua.LString(numberText(n))
		}
	}
}

func inspectCompare(w *watch, f *frame, inst uint32) {
	left, is1 := w.value(f, argB(inst)).(lua.LString)
	right, is2 := w.value(f, argC(inst)).(lua.LString)
	if !is1 || !is2 {
		return
	}
	// gopher-lua orders strings byte by byte in Go, some 1 ns a byte
	if n := min(len(left), len(right)); n > long {
		w.box.charge(w.state, n/16)
	}
}

func inspectCall(w *watch, f *frame, inst uint32) {
	a := argA(inst)
	fn, is := w.at(f, a).(*lua.LFunction)
	if !is {
		w.checkCallable(f, a)
	}
	if argB(inst) == 0 {
		w.chargeValues(f, a)
	}
	if is && !fn.IsG && fn.Proto.IsVarArg&lua.VarArgNeedsArg != 0 {
		w.box.hold(w.state, bytesTable+bytesNewHash+(w.values.top-f.LocalBase-a)*bytesSlot) // its `arg` table
	}
}

func inspectReturn(w *watch, f *frame, inst uint32) {
	if argB(inst) == 0 {
		w.chargeValues(f, argA(inst))
	}
}

// chargeValues charges the copying of all registers from one to the top.
func (w *watch) chargeValues(f *frame, from int) {
	if n := w.values.top - (f.LocalBase + from); n > valuesPerStep {
		w.box.charge(w.state, n/valuesPerStep)
	}
}

func inspectSetList(w *watch, f *frame, inst uint32) {
	n := argB(inst)
	if n == 0 {
		n = w.values.top - (f.LocalBase + argA(inst)) - 1
	}
	w.box.charge(w.state, n/valuesPerStep)
	w.box.hold(w.state, n*bytesSlot)
}

func inspectClosure(w *watch, f *frame, inst uint32) {
	n := int(f.Fn.Proto.FunctionPrototypes[argBx(inst)].NumUpvalues)
	w.box.hold(w.state, bytesClosure+n*bytesUpvalue)
}

func inspectVararg(w *watch, f *frame, inst uint32) {
	if n := f.NArgs - int(f.Fn.Proto.NumParameters); argB(inst) == 0 && n > valuesPerStep {
		w.box.charge(w.state, n/valuesPerStep)
	}
}
