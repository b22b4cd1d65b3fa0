"""Four numbers in one vector register, for compiled code: arithmetic on `Lanes` reads as arithmetic on one number.

The compiler's own search for loops that it may widen is slow, and gives up where it cannot prove that two arrays do
not overlap; a type that is four numbers wide from the start needs no search, and holds a cell's quantities in
registers from one cell to the next. Machines without registers of this width do the same work in halves.

Arrays hold lanes in blocks of four: place k of `take` and `put` is numbers 4k to 4k + 3. Nothing checks a place against
the end of its array. The cache of compiled code does not know this file: who changes it also raises
`kernel.LANES_VERSION`.
"""

# mypy: disable-error-code="no-untyped-def, no-untyped-call, misc"

from __future__ import annotations

import operator
from typing import Any, ClassVar

from llvmlite import ir
from numba import extending, types
from numba.core.cgutils import get_or_insert_function
from numba.core.datamodel import models
from numba.core.typing.templates import ConcreteTemplate, infer_global, signature
from numba.extending import lower_builtin, register_model

intrinsic: Any = extending.intrinsic  # its own annotations know no second signature

WIDTH = 4
FUSED = ("contract",)  # a product and a sum may round once
VECTOR = ir.VectorType(ir.DoubleType(), WIDTH)
PLACES = ir.VectorType(ir.IntType(64), WIDTH)
ALIGNED = 32  # of arrays that lanes are kept in [byte]
COLUMNS = 4  # of sixteen coefficients, that lie one after the other


class LanesType(types.Type):
    """The type as the compiler names it."""

    def __init__(self) -> None:
        super().__init__(name="Lanes")


LANES = LanesType()


@register_model(LanesType)
class _Model(models.PrimitiveModel):
    def __init__(self, dmm: Any, fe_type: Any) -> None:
        super().__init__(dmm, fe_type, VECTOR)


def _spread(builder, number):
    """One number in every lane."""
    one = builder.insert_element(ir.Constant(VECTOR, ir.Undefined), number, ir.Constant(ir.IntType(32), 0))
    mask = ir.Constant(ir.VectorType(ir.IntType(32), WIDTH), [0] * WIDTH)
    return builder.shuffle_vector(one, ir.Constant(VECTOR, ir.Undefined), mask)


def _operation(function, instruction: str) -> None:
    """Addition and the like, between lanes, and between lanes and one number."""
    pairs = [(LANES, LANES), (LANES, types.float64), (types.float64, LANES)]

    class Typing(ConcreteTemplate):
        cases: ClassVar = [signature(LANES, *pair) for pair in pairs]

    infer_global(function)(Typing)

    def lowered(context, builder, sig, args):
        a, b = (x if t is LANES else _spread(builder, x) for x, t in zip(args, sig.args, strict=True))
        return getattr(builder, instruction)(a, b, flags=FUSED)

    for pair in pairs:
        lower_builtin(function, *pair)(lowered)


for _function, _instruction in (
    (operator.add, "fadd"), (operator.sub, "fsub"), (operator.mul, "fmul"), (operator.truediv, "fdiv"),
):  # fmt: skip
    _operation(_function, _instruction)


@infer_global(operator.neg)
class _Negative(ConcreteTemplate):
    cases: ClassVar = [signature(LANES, LANES)]


@lower_builtin(operator.neg, LANES)
def _negative(context, builder, sig, args):
    return builder.fneg(args[0])


def _pointer(context, builder, array_type, array, index, vector=VECTOR):
    data = context.make_array(array_type)(context, builder, array).data
    return builder.bitcast(builder.gep(data, [index]), vector.as_pointer())


def _block(builder, place):
    return builder.mul(place, ir.Constant(ir.IntType(64), WIDTH))


@intrinsic
def spread(typingctx, number):
    """One number in every lane."""
    return LANES(types.float64), lambda context, builder, sig, args: _spread(builder, args[0])


@intrinsic
def take(typingctx, array, place):
    """Lanes at a place of an array."""

    def lowered(context, builder, sig, args):
        return builder.load(_pointer(context, builder, sig.args[0], args[0], _block(builder, args[1])), align=ALIGNED)

    return LANES(array, types.int64), lowered


@intrinsic
def put(typingctx, array, place, lanes):
    """Lanes to a place of an array."""

    def lowered(context, builder, sig, args):
        at = _pointer(context, builder, sig.args[0], args[0], _block(builder, args[1]))
        builder.store(args[2], at, align=ALIGNED)
        return context.get_dummy_value()

    return types.void(array, types.int64, LANES), lowered


@intrinsic
def put_from(typingctx, array, place, lane, lanes):
    """From one lane on to the same numbers of a place of an array; those before it stay."""

    def lowered(context, builder, sig, args):
        at = _pointer(context, builder, sig.args[0], args[0], _block(builder, args[1]))
        count = ir.IntType(64)
        order = ir.Constant(ir.VectorType(count, WIDTH), list(range(WIDTH)))
        first = builder.insert_element(ir.Constant(order.type, ir.Undefined), args[2], ir.Constant(ir.IntType(32), 0))
        mask = ir.Constant(ir.VectorType(ir.IntType(32), WIDTH), [0] * WIDTH)
        first = builder.shuffle_vector(first, ir.Constant(order.type, ir.Undefined), mask)
        kept = builder.icmp_signed("<", order, first)
        builder.store(builder.select(kept, builder.load(at, align=8), args[3]), at, align=8)
        return context.get_dummy_value()

    return types.void(array, types.int64, types.int64, LANES), lowered


@intrinsic
def least(typingctx, a, b):
    """The smaller in each lane."""

    def lowered(context, builder, sig, args):
        return builder.select(builder.fcmp_ordered("<", args[0], args[1]), args[0], args[1])

    return LANES(LANES, LANES), lowered


@intrinsic
def most(typingctx, a, b):
    """The larger in each lane."""

    def lowered(context, builder, sig, args):
        return builder.select(builder.fcmp_ordered(">", args[0], args[1]), args[0], args[1])

    return LANES(LANES, LANES), lowered


@intrinsic
def where_negative(typingctx, x, a, b):
    """`a` in lanes where x < 0, elsewhere `b`."""

    def lowered(context, builder, sig, args):
        below = builder.fcmp_ordered("<", args[0], ir.Constant(VECTOR, [0.0] * WIDTH))
        return builder.select(below, args[1], args[2])

    return LANES(LANES, LANES, LANES), lowered


@intrinsic
def magnitude(typingctx, x):
    """Without sign."""

    def lowered(context, builder, sig, args):
        kind = ir.FunctionType(VECTOR, [VECTOR])
        return builder.call(get_or_insert_function(builder.module, kind, f"llvm.fabs.v{WIDTH}f64"), [args[0]])

    return LANES(LANES), lowered


@intrinsic
def any_positive(typingctx, x):
    """True if a lane is above 0."""

    def lowered(context, builder, sig, args):
        above = builder.fcmp_ordered(">", args[0], ir.Constant(VECTOR, [0.0] * WIDTH))
        bits = builder.bitcast(above, ir.IntType(WIDTH))
        return builder.icmp_unsigned("!=", bits, ir.Constant(ir.IntType(WIDTH), 0))

    return types.boolean(LANES), lowered


@intrinsic
def lane(typingctx, x, index):
    """One lane as a number."""

    def lowered(context, builder, sig, args):
        return builder.extract_element(args[0], args[1])

    return types.float64(LANES, types.int64), lowered


@intrinsic
def piece(typingctx, table, begins, row, place):
    """The part of `place` behind the point, and the sixteen coefficients of the piece that it lies in, lane by lane.

    `begins` holds where each lane's table begins, at place `row`. Four coefficients of four lanes are read as four
    blocks and turned, which costs a fraction of sixteen single reads.
    """

    def lowered(context, builder, sig, args):
        whole = builder.fptosi(args[3], ir.VectorType(ir.IntType(32), WIDTH))
        part = builder.fsub(args[3], builder.sitofp(whole, VECTOR))
        at = builder.load(_pointer(context, builder, sig.args[1], args[1], _block(builder, args[2]), PLACES), align=8)
        size = ir.Constant(PLACES, [COLUMNS * WIDTH] * WIDTH)
        at = builder.add(at, builder.mul(builder.sext(whole, PLACES), size))
        found = [part]
        single = [builder.extract_element(at, ir.Constant(ir.IntType(32), j)) for j in range(WIDTH)]
        for column in range(COLUMNS):
            step = ir.Constant(ir.IntType(64), column * WIDTH)
            blocks = [
                builder.load(_pointer(context, builder, sig.args[0], args[0], builder.add(one, step)), align=ALIGNED)
                for one in single
            ]
            found += _turned(builder, blocks)
        return context.make_tuple(builder, sig.return_type, found)

    return types.UniTuple(LANES, 1 + COLUMNS * WIDTH)(table, begins, types.int64, LANES), lowered


def _turned(builder, rows):
    """Transpose of four blocks of four."""

    def shuffled(a, b, order):
        return builder.shuffle_vector(a, b, ir.Constant(ir.VectorType(ir.IntType(32), WIDTH), order))

    low = [shuffled(rows[k], rows[k + 1], [0, 4, 2, 6]) for k in (0, 2)]
    high = [shuffled(rows[k], rows[k + 1], [1, 5, 3, 7]) for k in (0, 2)]
    return [
        shuffled(low[0], low[1], [0, 1, 4, 5]), shuffled(high[0], high[1], [0, 1, 4, 5]),
        shuffled(low[0], low[1], [2, 3, 6, 7]), shuffled(high[0], high[1], [2, 3, 6, 7]),
    ]  # fmt: skip
