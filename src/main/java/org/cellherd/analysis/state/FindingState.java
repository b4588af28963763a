package org.cellherd.analysis.state;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;
import org.jspecify.annotations.Nullable;

/** Writes findings into a fold's state and reads them back, so that they stand after a restart. */
public final class FindingState {
  private static final int MOST_DEPTH = 8;

  private FindingState() {}

  /** Writes a finding, or that there is none. */
  public static void save(Optional<Finding> finding, StateWriter out) {
    out.putBoolean(finding.isPresent());
    finding.ifPresent(
        f -> {
          out.putEnum(f.name()).putLong(f.fromMs()).putLong(f.toMs()).putText(f.sentence());
          saveValue(f.facts(), out);
        });
  }

  /** Reads what {@link #save} wrote. */
  public static Optional<Finding> restore(StateReader in) {
    if (!in.getBoolean()) {
      return Optional.empty();
    }
    FindingName name = in.getEnum(FindingName.class);
    long from = in.getLong();
    long to = in.getLong();
    String sentence = in.getText();
    if (restoreValue(in, 0) instanceof Facts facts) {
      return Optional.of(new Finding(name, from, to, facts, sentence));
    }
    throw new StateMismatch("a finding without facts");
  }

  private static void saveValue(@Nullable Object value, StateWriter out) {
    if (value == null) {
      out.putText("");
    } else if (value instanceof Long || value instanceof Integer) {
      out.putText("n").putLong(((Number) value).longValue());
    } else if (value instanceof Double d) {
      out.putText("d").putDouble(d);
    } else if (value instanceof Boolean b) {
      out.putText("b").putBoolean(b);
    } else if (value instanceof String s) {
      out.putText("s").putText(s);
    } else if (value instanceof Fact.Time time) {
      out.putText("t").putLong(time.ms());
    } else if (value instanceof List<?> list) {
      out.putText("l").putLong(list.size());
      list.forEach(item -> saveValue(item, out));
    } else if (value instanceof Facts facts) {
      out.putText("f").putLong(facts.list().size());
      facts.list().forEach(fact -> saveValue(fact.value(), out.putText(fact.name())));
    } else {
      throw new IllegalArgumentException("no state for a value of " + value.getClass());
    }
  }

  private static @Nullable Object restoreValue(StateReader in, int depth) {
    if (depth > MOST_DEPTH) {
      throw new StateMismatch("facts nested deeper than " + MOST_DEPTH);
    }
    String kind = in.getText();
    return switch (kind) {
      case "" -> null;
      case "n" -> in.getLong();
      case "d" -> finite(in.getDouble());
      case "b" -> in.getBoolean();
      case "s" -> in.getText();
      case "t" -> new Fact.Time(in.getLong());
      case "l" -> list(in, depth);
      case "f" -> facts(in, depth);
      default -> throw new StateMismatch("no fact of kind " + kind);
    };
  }

  private static double finite(double value) {
    if (!Double.isFinite(value)) {
      throw new StateMismatch("a fact is " + value);
    }
    return value;
  }

  private static List<Object> list(StateReader in, int depth) {
    List<Object> list = new ArrayList<>();
    for (long n = in.getLong(); n > 0; n--) {
      Object item = restoreValue(in, depth + 1);
      if (item == null) {
        throw new StateMismatch("a list holds nothing");
      }
      list.add(item);
    }
    return list;
  }

  private static Facts facts(StateReader in, int depth) {
    List<Fact> list = new ArrayList<>();
    for (long n = in.getLong(); n > 0; n--) {
      list.add(new Fact(in.getText(), restoreValue(in, depth + 1)));
    }
    return new Facts(list);
  }
}
