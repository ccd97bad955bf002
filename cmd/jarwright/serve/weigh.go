package serve

import (
	"reflect"
	"unsafe"
)

// weigh is how many bytes of memory something holds with all that it leads to, each thing counted once. What a function or a channel
// holds is not seen.
func weigh(of ...any) (bytes int64) {
	seen := map[[2]uintptr]bool{} // by place and length: a slice may begin where a struct does
	first := func(at, size uintptr) bool {
		was := seen[[2]uintptr{at, size}]
		seen[[2]uintptr{at, size}] = true
		return at != 0 && !was
	}
	var held func(v reflect.Value) // beyond the value itself
	held = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.String:
			if n := uintptr(v.Len()); n > 0 && first(uintptr(unsafe.Pointer(unsafe.StringData(v.String()))), n) {
				bytes += int64(n)
			}
		case reflect.Pointer:
			if t := v.Type().Elem(); first(v.Pointer(), t.Size()) {
				bytes += int64(t.Size())
				held(v.Elem())
			}
		case reflect.Interface:
			if !v.IsNil() {
				x := v.Elem()
				bytes += int64(x.Type().Size())
				held(x)
			}
		case reflect.Slice:
			size := uintptr(v.Cap()) * v.Type().Elem().Size()
			if size == 0 || !first(v.Pointer(), size) {
				return
			}
			bytes += int64(size)
			fallthrough
		case reflect.Array:
			if plainKind(v.Type().Elem()) {
				return
			}
			for i := range v.Len() {
				held(v.Index(i))
			}
		case reflect.Map:
			const entry = 16 // of the table itself, about
			if !first(v.Pointer(), 0) {
				return
			}
			for i := v.MapRange(); i.Next(); {
				bytes += entry + int64(i.Key().Type().Size()+i.Value().Type().Size())
				held(i.Key())
				held(i.Value())
			}
		case reflect.Struct:
			for i := range v.NumField() {
				if !plainKind(v.Field(i).Type()) {
					held(v.Field(i))
				}
			}
		}
	}
	for _, x := range of {
		if x != nil {
			v := reflect.ValueOf(x)
			bytes += int64(v.Type().Size())
			held(v)
		}
	}
	return bytes
}

// plainKind reports a type that leads to nothing else.
func plainKind(t reflect.Type) bool {
	switch t.Kind() {
	case reflect.String, reflect.Pointer, reflect.Interface, reflect.Slice, reflect.Map, reflect.Struct, reflect.Array, reflect.Chan, reflect.Func, reflect.UnsafePointer:
		return false
	}
	return true
}
