package org.cellherd.analysis.state;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;
import org.jspecify.annotations.Nullable;

/** Facts as bytes of a state and of the log, kinds and order kept. */
final class FactsForm {
  private static final int DEEPEST = 32;
  private static final int MOST = Integer.MAX_VALUE;
  private static final Fact BLANK = new Fact("", null);

  /** What comes next in the bytes; the code is what is stored, in old logs, too. */
  private enum Tag {
    UNKNOWN('?', Void.class),
    WHOLE('w', Long.class),
    INTEGER('i', Integer.class),
    DOUBLE('d', Double.class),
    YES_NO('b', Boolean.class),
    TEXT('s', String.class),
    TIME('t', Fact.Time.class),
    FACTS('f', Facts.class),
    LIST('l', List.class);

    private final int code;
    private final Class<?> kind;

    Tag(char code, Class<?> kind) {
      this.code = code;
      this.kind = kind;
    }

    static Tag ofCode(int code) {
      for (Tag tag : values()) {
        if (tag.code == code) {
          return tag;
        }
      }
      throw new StateMismatch("no kind of fact has code " + code);
    }

    static Tag ofValue(@Nullable Object value) {
      for (Tag tag : values()) {
        if (tag.kind.isInstance(value)) {
          return tag;
        }
      }
      return UNKNOWN;
    }
  }

  private FactsForm() {}

  static Facts state(Facts now, State io) {
    return facts(now, io, 0);
  }

  private static Facts facts(Facts now, State io, int depth) {
    if (depth > DEEPEST) {
      throw new StateMismatch("facts nested deeper than " + DEEPEST);
    }
    List<Fact> list = new ArrayList<>(now.list());
    io.list(
        list,
        MOST,
        BLANK,
        (fact, s) -> new Fact(s.text(fact.name()), value(fact.value(), s, depth)));
    return new Facts(list);
  }

  private static @Nullable Object value(@Nullable Object now, State io, int depth) {
    return switch (Tag.ofCode(io.number(Tag.ofValue(now).code))) {
      case UNKNOWN -> null;
      case WHOLE -> (Object) io.number(now instanceof Long n ? n : 0L);
      case INTEGER -> io.number(now instanceof Integer n ? n : 0);
      case DOUBLE -> io.number(now instanceof Double d ? d : 0.0);
      case YES_NO -> io.flag(now instanceof Boolean b && b);
      case TEXT -> io.text(now instanceof String s ? s : "");
      case TIME -> new Fact.Time(io.number(now instanceof Fact.Time t ? t.ms() : 0L));
      case FACTS -> facts(now instanceof Facts f ? f : Facts.NONE, io, depth + 1);
      case LIST -> list(now instanceof List<?> l ? l : List.of(), io, depth + 1);
    };
  }

  private static List<Object> list(List<?> now, State io, int depth) {
    if (depth > DEEPEST) {
      throw new StateMismatch("facts nested deeper than " + DEEPEST);
    }
    List<Object> list = new ArrayList<>(now);
    io.list(list, MOST, "", (item, s) -> item(item, s, depth));
    return list;
  }

  private static Object item(Object now, State io, int depth) {
    Object item = value(now, io, depth);
    if (item == null) {
      throw new StateMismatch("a list holds an unknown");
    }
    return item;
  }
}
