// Part sheets for editors that read tree-sitter grammars. It has the shape of `grammar/sheet.pest` and is as forgiving:
// which words are blocks and fields is for the queries, whose lists a test keeps like the vocabulary.

const { units } = require("./words.json");

const NUMBER = /(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?/;
const LENGTH = /(\d+(\.\d*)?|\.\d+)([ \t]*[\p{L}%°][\p{L}\d]*)?/;
const NAME = /[\p{L}_]([\p{L}_]|\p{N}+(\.\p{N}+)*|-[\p{L}\p{N}])*/;

const listed = (rule) => seq(rule, repeat(seq(",", rule)));

module.exports = grammar({
  name: "dryfit",

  // Line ends part statements: they are no blanks.
  extras: ($) => [/[ \t\uFEFF]/, $.comment],

  word: ($) => $.name,

  rules: {
    sheet: ($) => optional($._body),

    _body: ($) =>
      choice($._statement, seq(repeat1(seq(optional($._statement), $._break)), optional($._statement))),
    _break: (_) => choice(/\r?\n/, /\r/, ";"),
    _statement: ($) => choice($.binding, $.clause),

    binding: ($) => seq("let", field("name", $.name), "=", field("value", $._value)),
    clause: ($) =>
      prec.right(seq(field("head", $.name), choice(repeat($._value), $._named_so), optional($.likeness), optional($.block))),
    // A feature may be called like a word that begins a value: `slot between { … }`.
    _named_so: ($) => alias(choice("between", "measured", "at", "if", "not"), $.path),
    likeness: ($) => seq("like", $.path, optional(seq("mirrored", choice("x", "y", "z")))),
    block: ($) => seq("{", optional($._body), "}"),

    comment: (_) => token(seq("#", /[^\r\n]*/)),

    // ---- values
    _value: ($) => choice($.measured, $.between, $.bound, $.tilted, $.size, $.toleranced, $.range, $.place, $._condition),
    measured: ($) =>
      prec.right(seq("measured", listed($._reading), repeat(choice($.instrument, seq($.plus_minus, $._reading))))),
    _reading: ($) => seq(optional(choice("+", "-", "−")), $.quantity),
    instrument: ($) => prec.right(1, seq("by", $.name)),
    between: ($) => prec.right(seq("between", $._sum, "and", $._sum)),
    bound: ($) => prec.right(seq("at", choice("least", "most"), $._sum)),
    tilted: ($) => seq($.direction, "tilted", $._sum, "toward", $.direction),
    size: ($) => prec.right(seq(repeat1(choice($.share, seq($._extent, choice("x", "×")))), $._extent)),
    // The 2 1/2 x of 2 1/2 x 1 1/2 x 1 in: with its cross, since without one or a unit it is a division.
    share: (_) => token(prec(1, seq(/(\d+[ \t]+)?\d+\/\d+[ \t]*/, choice("x", "×")))),
    _extent: ($) => choice($.quantity, $.path, $.group),
    toleranced: ($) =>
      prec.right(seq($._condition, choice(seq($.plus_minus, $._sum), $.uneven), optional($.instrument))),
    range: ($) => prec.right(seq($._condition, "to", $._sum)),
    place: ($) => prec.right(seq($._condition, repeat1(seq(",", $._sum)))),
    plus_minus: (_) => choice("±", "+-", "+/-"),
    uneven: (_) => {
      const side = (sign) => seq(sign, /[ \t]*/, LENGTH);
      const either = side(choice("+", "-", "−"));
      // A side that is nothing needs no sign: +0.02/0 mm, 0/-0.009 mm.
      const nothing = /0(\.0+)?([ \t]*[\p{L}%°][\p{L}\d]*)?/;
      const over = /[ \t]*\/[ \t]*/;
      return token(prec(2, choice(seq(either, over, choice(either, nothing)), seq(nothing, over, either))));
    },

    // ---- expressions
    _condition: ($) => choice($.choice, $.junction, $.negation, $.comparison, $._sum),
    choice: ($) => prec.right(seq("if", $._condition, "then", $._condition, "else", $._condition)),
    junction: ($) => prec.left(1, seq($._condition, choice("and", "or"), $._condition)),
    negation: ($) => prec.right(2, seq("not", $._condition)),
    comparison: ($) =>
      prec.left(3, seq($._sum, choice("<=", ">=", "==", "!=", "≤", "≥", "≠", "<", ">"), $._sum)),
    _sum: ($) => choice($.binary, $.signed, $._primary),
    binary: ($) =>
      choice(
        prec.left(4, seq($._sum, choice("+", "-", "−"), $._sum)),
        prec.left(5, seq($._sum, choice("*", "·", "/"), $._sum)),
        prec.right(7, seq($._sum, "^", $._sum)),
      ),
    signed: ($) => prec.right(6, seq(choice("+", "-", "−"), $._sum)),
    _primary: ($) => choice($.direction, $.group, $.call, $.quantity, $.path, $.string, $.open_string),
    group: ($) => seq("(", $._condition, ")"),
    call: ($) => seq(field("function", $.name), token.immediate("("), optional(listed($._given)), ")"),
    _given: ($) => choice($.named, $._condition),
    named: ($) => seq($.name, ":", $._condition),
    direction: (_) => token(prec(1, seq(choice("+", "-", "−"), choice("x", "y", "z")))),

    // ---- words
    path: ($) => prec.right(seq($.name, repeat(seq(token.immediate("."), alias(token.immediate(NAME), $.name))))),
    name: (_) => NAME,
    quantity: ($) => prec.right(choice($.fraction, seq($.number, optional($.unit)))),
    // 1/2 in, 1 1/2 in: with its unit, since without one it is a division.
    fraction: (_) => token(prec(1, seq(/(\d+[ \t]+)?\d+\/\d+[ \t]*/, choice("in", "mm", "cm")))),
    number: (_) => token(NUMBER),
    unit: (_) => choice(...units),
    // Half typed, a text ends with its line.
    open_string: (_) => token(prec(-1, seq('"', /([^"\\\r\n]|\\[^\r\n])*/))),
    string: (_) => token(seq('"', /([^"\\\r\n]|\\[^\r\n])*/, '"')),
  },
});
