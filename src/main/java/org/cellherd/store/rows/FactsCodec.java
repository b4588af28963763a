package org.cellherd.store.rows;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.analysis.state.StateReader;
import org.cellherd.analysis.state.StateWriter;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;
import org.jspecify.annotations.Nullable;

/** Facts to bytes and back, kinds and order kept. */
public final class FactsCodec {

  private static final int DEEPEST = 32;

  /** What comes next in the bytes; the code is what is stored. */
  private enum Tag {
    UNKNOWN('?'),
    WHOLE('w'),
    INTEGER('i'),
    DOUBLE('d'),
    YES_NO('b'),
    TEXT('s'),
    TIME('t'),
    FACTS('f'),
    LIST('l');

    private final char code;

    Tag(char code) {
      this.code = code;
    }

    static Tag of(long code) {
      for (Tag tag : values()) {
        if (tag.code == code) {
          return tag;
        }
      }
      throw new StateMismatch("no kind of fact has code " + code);
    }
  }

  private FactsCodec() {}

  /** The bytes of some facts. */
  public static byte[] encode(Facts facts) {
    StateWriter out = new StateWriter();
    putFacts(out, facts);
    return out.toBytes();
  }

  /** The facts of some bytes; no facts where the bytes make no sense. */
  public static Facts decode(byte[] bytes) {
    try {
      return getFacts(new StateReader(bytes), 0);
    } catch (StateMismatch | IllegalArgumentException e) {
      return Facts.of().put("unreadable", String.valueOf(e.getMessage())).build();
    }
  }

  private static void putFacts(StateWriter out, Facts facts) {
    out.putLong(facts.list().size());
    for (Fact fact : facts.list()) {
      out.putText(fact.name());
      putValue(out, fact.value());
    }
  }

  private static void putValue(StateWriter out, @Nullable Object value) {
    if (value == null) {
      out.putLong(Tag.UNKNOWN.code);
    } else if (value instanceof Long number) {
      out.putLong(Tag.WHOLE.code).putLong(number);
    } else if (value instanceof Integer number) {
      out.putLong(Tag.INTEGER.code).putLong(number);
    } else if (value instanceof Double number) {
      out.putLong(Tag.DOUBLE.code).putDouble(number);
    } else if (value instanceof Boolean flag) {
      out.putLong(Tag.YES_NO.code).putBoolean(flag);
    } else if (value instanceof String text) {
      out.putLong(Tag.TEXT.code).putText(text);
    } else if (value instanceof Fact.Time time) {
      out.putLong(Tag.TIME.code).putLong(time.ms());
    } else if (value instanceof Facts facts) {
      putFacts(out.putLong(Tag.FACTS.code), facts);
    } else if (value instanceof List<?> list) {
      out.putLong(Tag.LIST.code).putLong(list.size());
      list.forEach(item -> putValue(out, item));
    } else {
      throw new IllegalArgumentException("no way to store " + value.getClass());
    }
  }

  private static Facts getFacts(StateReader in, int depth) {
    if (depth > DEEPEST) {
      throw new StateMismatch("facts nested deeper than " + DEEPEST);
    }
    List<Fact> facts = new ArrayList<>();
    for (long left = in.getLong(); left > 0; left--) {
      String name = in.getText();
      facts.add(new Fact(name, getValue(in, depth)));
    }
    return new Facts(facts);
  }

  private static @Nullable Object getValue(StateReader in, int depth) {
    return switch (Tag.of(in.getLong())) {
      case UNKNOWN -> null;
      case WHOLE -> (Object) in.getLong();
      case INTEGER -> in.getInt();
      case DOUBLE -> in.getDouble();
      case YES_NO -> in.getBoolean();
      case TEXT -> in.getText();
      case TIME -> new Fact.Time(in.getLong());
      case FACTS -> getFacts(in, depth + 1);
      case LIST -> getList(in, depth + 1);
    };
  }

  private static List<Object> getList(StateReader in, int depth) {
    if (depth > DEEPEST) {
      throw new StateMismatch("facts nested deeper than " + DEEPEST);
    }
    List<Object> list = new ArrayList<>();
    for (long left = in.getLong(); left > 0; left--) {
      Object item = getValue(in, depth);
      if (item == null) {
        throw new StateMismatch("a list holds an unknown");
      }
      list.add(item);
    }
    return list;
  }
}
