package record

import (
	"reflect"

	"boltback/internal/canon"
)

// SecretsIn gives the private values in what is to be a record of a kind and may not be one yet: members that nobody knows, and
// values of the wrong sort, hide none that stands beside them. A digest is a private value too; a kind that does not exist has none.
func SecretsIn(kind Kind, n *canon.Node) []*canon.Node {
	body := New(kind)
	if body == nil {
		return nil
	}
	var found []*canon.Node
	secretsIn(reflect.TypeOf(body).Elem(), n, func(secret *canon.Node) { found = append(found, secret) })
	return found
}

func secretsIn(t reflect.Type, n *canon.Node, visit func(*canon.Node)) {
	switch {
	case n == nil:
	case t == reflect.TypeFor[Sealed]():
		visit(n)
	case t.Kind() == reflect.Pointer:
		secretsIn(t.Elem(), n, visit)
	case t.Kind() == reflect.Slice:
		for _, e := range n.Elements {
			secretsIn(t.Elem(), e, visit)
		}
	case t.Kind() == reflect.Struct:
		for _, f := range planOf(t) {
			if f.embedded {
				secretsIn(t.Field(f.index).Type, n, visit)
			} else {
				secretsIn(t.Field(f.index).Type, n.Get(f.name), visit)
			}
		}
	}
}
