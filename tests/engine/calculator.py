"""A pocket calculator for the working of a check: it knows arithmetic and nothing of fixings."""

from __future__ import annotations

import ast
import math
import operator
import re
from collections.abc import Callable, Mapping

OPERATIONS: dict[type[ast.operator], Callable[[float, float], float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}
FUNCTIONS: dict[str, Callable[..., float]] = {"min": min, "max": max, "sqrt": math.sqrt}


def evaluate(expression: str, known: Mapping[str, float]) -> float:
    """Work an expression out from the symbols that came before it.

    Args:
        expression: As printed in a trace, with ·, √, ², ^ and π.
        known: Values of the symbols so far.

    Returns:
        The value.

    Raises:
        KeyError: For a symbol that did not come before.
        SyntaxError: For words.
    """
    names: dict[str, float] = {}
    text = expression
    text = text.replace("²", "^2")
    for number, symbol in enumerate(sorted(known, key=len, reverse=True)):
        text = re.sub(rf"(?<![\w']){re.escape(symbol)}(?![\w'])", f"symbol{number}", text)
        names[f"symbol{number}"] = known[symbol]
    text = text.replace("·", "*").replace("^", "**").replace("π", repr(math.pi))
    text = re.sub(r"√(\w+)", r"sqrt(\1)", text).replace("√(", "sqrt(")
    return _value(ast.parse(text, mode="eval").body, names)


def _value(node: ast.expr, names: Mapping[str, float]) -> float:
    match node:
        case ast.Constant(value=int() | float() as number):
            return float(number)
        case ast.Name(id=name):
            return names[name]
        case ast.BinOp(left=left, op=op, right=right):
            return OPERATIONS[type(op)](_value(left, names), _value(right, names))
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            return -_value(operand, names)
        case ast.Call(func=ast.Name(id=name), args=arguments):
            return FUNCTIONS[name](*(_value(argument, names) for argument in arguments))
        case _:
            raise SyntaxError(f"no arithmetic: {ast.dump(node)}")
