package org.cellherd.alert.state;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.analysis.state.StateReader;
import org.cellherd.analysis.state.StateWriter;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;
import org.jspecify.annotations.Nullable;

/** Facts as bytes of a saved state. */
final class FactsState {
  private static final int DEEPEST = 8;

  private FactsState() {}

  static void save(Facts facts, StateWriter out) {
    out.putLong(facts.list().size());
    for (Fact fact : facts.list()) {
      out.putText(fact.name());
      saveValue(fact.value(), out);
    }
  }

  private static void saveValue(@Nullable Object value, StateWriter out) {
    if (value == null) {
      out.putText("null");
    } else if (value instanceof Integer || value instanceof Long) {
      out.putText("long").putLong(((Number) value).longValue());
    } else if (value instanceof Double d) {
      out.putText("double").putDouble(d);
    } else if (value instanceof Boolean b) {
      out.putText("boolean").putBoolean(b);
    } else if (value instanceof String s) {
      out.putText("text").putText(s);
    } else if (value instanceof Fact.Time t) {
      out.putText("time").putLong(t.ms());
    } else if (value instanceof Facts f) {
      out.putText("facts");
      save(f, out);
    } else if (value instanceof List<?> list) {
      out.putText("list").putLong(list.size());
      list.forEach(item -> saveValue(item, out));
    } else {
      throw new IllegalStateException("a fact of " + value.getClass());
    }
  }

  static Facts restore(StateReader in) {
    return restore(in, 0);
  }

  private static Facts restore(StateReader in, int depth) {
    long count = in.getLong();
    List<Fact> list = new ArrayList<>();
    for (long i = 0; i < count; i++) {
      list.add(new Fact(in.getText(), restoreValue(in, depth)));
    }
    return new Facts(list);
  }

  private static @Nullable Object restoreValue(StateReader in, int depth) {
    if (depth > DEEPEST) {
      throw new StateMismatch("facts are nested too deep");
    }
    String kind = in.getText();
    return switch (kind) {
      case "null" -> null;
      case "long" -> in.getLong();
      case "double" -> in.getDouble();
      case "boolean" -> in.getBoolean();
      case "text" -> in.getText();
      case "time" -> new Fact.Time(in.getLong());
      case "facts" -> restore(in, depth + 1);
      case "list" -> restoreList(in, depth + 1);
      default -> throw new StateMismatch("no kind of fact: " + kind);
    };
  }

  private static List<Object> restoreList(StateReader in, int depth) {
    long count = in.getLong();
    List<Object> list = new ArrayList<>();
    for (long i = 0; i < count; i++) {
      Object value = restoreValue(in, depth);
      if (value != null) {
        list.add(value);
      }
    }
    return list;
  }
}
