"""Puts mutants into a source file, each behind a switch: `crate::mutant(7)` says whether
number 7 is on."""

import tree_sitter_rust
from tree_sitter import Language, Node, Parser

PARSER = Parser(Language(tree_sitter_rust.language()))
BINARY = ("binary_expression", "compound_assignment_expr")


class Source:
    """A source file and the mutants that go into it.

    A mutant is what `cargo mutants --list --json` says of it, and a number, `id`.
    """

    def __init__(self, text: bytes, mutants: list[dict]):
        self.text = text
        self.lines = text.split(b"\n")
        self.root = PARSER.parse(text).root_node
        self.here: dict[int, list[dict]] = {}
        self.unplaced: list[dict] = []
        nodes = list(walk(self.root))
        for mutant in mutants:
            place = next((n for n in nodes if self.is_of(n, mutant)), None)
            if place is None:
                self.unplaced.append(mutant)
            else:
                self.here.setdefault(place.id, []).append(mutant)

    def offset(self, at: dict) -> int:
        """In bytes, of a line and a column of characters, both from 1."""
        before = self.lines[: at["line"] - 1]
        start = self.lines[at["line"] - 1].decode()[: at["column"] - 1]
        return sum(len(line) + 1 for line in before) + len(start.encode())

    def is_of(self, node: Node, mutant: dict) -> bool:
        """Whether the node is what the mutant changes."""
        start, end = (self.offset(mutant["span"][which]) for which in ("start", "end"))
        match mutant["genre"]:
            case "BinaryOperator":
                sign = node.child_by_field_name("operator") if node.type in BINARY else None
                return sign is not None and (sign.start_byte, sign.end_byte) == (start, end)
            case "UnaryOperator":
                return node.type == "unary_expression" and node.start_byte == start
            case "FnValue":
                body = node.type == "block" and node.parent.type == "function_item"
                before = self.text[node.start_byte + 1 : start]
                return body and node.start_byte < start and not before.strip()
            case "MatchArm":
                return node.type == "match_arm" and node.start_byte == start
            case "MatchArmGuard":
                pattern = node.parent if node.parent and node.parent.type == "match_pattern" else None
                guard = pattern and pattern.child_by_field_name("condition")
                return bool(guard) and guard.id == node.id and node.start_byte == start
        return False

    def switched(self) -> str:
        """The whole file with its switches."""
        start, end = self.root.start_byte, self.root.end_byte
        return self.text[:start].decode() + self.code(self.root) + self.text[end:].decode()

    def code(self, node: Node) -> str:
        out = self.plain(node)
        for mutant in self.here.get(node.id, []):
            out = self.behind_a_switch(node, mutant, out)
        return out

    def plain(self, node: Node) -> str:
        out, at = [], node.start_byte
        for child in node.children:
            out += [self.text[at : child.start_byte].decode(), self.code(child)]
            at = child.end_byte
        return "".join(out) + self.text[at : node.end_byte].decode()

    def behind_a_switch(self, node: Node, mutant: dict, code: str) -> str:
        switch, other = f"crate::mutant({mutant['id']})", mutant["replacement"]

        def field(name: str) -> str:
            return self.code(node.child_by_field_name(name))

        match mutant["genre"]:
            case "BinaryOperator":
                changed = f"{field('left')} {other} {field('right')}"
            case "UnaryOperator":
                changed = self.code(node.children[-1])
            case "MatchArmGuard":
                changed = other
            case "FnValue":
                return f"{{ if {switch} {{ return {other}; }} {code[1:]}"
            case "MatchArm":
                pattern = node.child_by_field_name("pattern")
                whole = self.code(pattern)
                guard = pattern.child_by_field_name("condition")
                if guard is None:
                    return code.replace(whole, f"{whole} if !{switch}", 1)
                guard = self.code(guard)
                bare = whole[: whole.rindex(guard)]
                return code.replace(whole, f"{bare} !{switch} && ({guard})", 1)
        both = f"if {switch} {{ {changed} }} else {{ {code} }}"
        return both if node.type == "compound_assignment_expr" else f"({both})"


def walk(node: Node):
    yield node
    for child in node.children:
        yield from walk(child)
