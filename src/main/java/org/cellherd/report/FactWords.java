package org.cellherd.report;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.cellherd.analysis.Finding;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.SpokenTime;
import org.jspecify.annotations.Nullable;

/** Facts as people read them: each a line, a table, or parts of its own. */
final class FactWords {

  /** Words of results that are short for those who know. */
  private static final Map<String, String> MEANT =
      Map.of(
          "tail", "the current had faded to its tail",
          "first_cell", "the first full cell",
          "absorb_timer", "the charger's own timer",
          "stopped_low", "stopped near empty");

  /** Words of enums, such as {@code charge_difference}. */
  private static final Pattern ENUM_WORD = Pattern.compile("[a-z]+(_[a-z]+)+");

  /** A date as results have it. */
  private static final Pattern DATE = Pattern.compile("\\d{4}-\\d\\d-\\d\\d");

  /** What stands for a number that cannot be known. */
  static final String UNKNOWN = "not known";

  private static final String UNKNOWN_IN_TABLE = "\u2013";

  private final Made made;

  FactWords(Made made) {
    this.made = made;
  }

  /** All that is known of some facts, in their order. */
  List<Told> told(Facts facts) {
    return told("", facts);
  }

  /** Those of a finding that its sentence does not say word for word. */
  static Facts unsaid(Finding finding) {
    return new Facts(
        finding.facts().list().stream()
            .filter(
                f -> !(f.value() instanceof String text && finding.sentence().endsWith(" " + text)))
            .toList());
  }

  private List<Told> told(String within, Facts facts) {
    List<Told> told = new ArrayList<>();
    for (Fact fact : Bounds.joined(facts).list()) {
      FactName name = FactName.of(within, fact.name());
      List<Facts> rows = rows(fact.value());
      if (!rows.isEmpty()) {
        told.add(ofRows(fact.name(), name, rows));
      } else if (fact.value() instanceof Facts inner && hasParts(inner)) {
        told.add(new Told.Parts(name.what(), told(fact.name(), inner)));
      } else if (isTold(fact.value())) {
        told.add(new Told.Line(name.what(), value(fact, name)));
      }
    }
    return told;
  }

  /** False for what cannot be known and for empty lists. */
  private static boolean isTold(@Nullable Object value) {
    return value != null
        && !(value instanceof List<?> list && list.stream().noneMatch(FactWords::isTold))
        && !(value instanceof String text && text.isEmpty())
        && !(value instanceof Facts facts
            && facts.list().stream().noneMatch(fact -> isTold(fact.value())));
  }

  /** True of facts with tables or facts within, which no line can hold. */
  private static boolean hasParts(Facts facts) {
    return Bounds.of(facts).isEmpty()
        && Bounds.joined(facts).list().stream()
            .map(Fact::value)
            .anyMatch(v -> !rows(v).isEmpty() || (v instanceof Facts f && Bounds.of(f).isEmpty()));
  }

  /** A table of the columns of which anything is known; a line where that is which rows only. */
  private Told ofRows(String within, FactName name, List<Facts> rows) {
    List<Integer> known =
        IntStream.range(0, rows.get(0).list().size())
            .filter(column -> rows.stream().anyMatch(row -> isTold(row.list().get(column).value())))
            .boxed()
            .toList();
    List<Facts> kept =
        rows.stream().map(row -> new Facts(known.stream().map(row.list()::get).toList())).toList();
    boolean isBare = known.size() < 2 && known.size() < rows.get(0).list().size();
    return isBare ? unknown(within, name, kept) : table(within, name, kept);
  }

  /** {@code not known (down to 80, 70 %)}. */
  private Told.Line unknown(String within, FactName name, List<Facts> rows) {
    List<Fact> which = rows.stream().flatMap(row -> row.list().stream()).toList();
    if (which.isEmpty()) {
      return new Told.Line(name.what(), UNKNOWN);
    }
    FactName of = FactName.of(within, which.get(0).name());
    String all =
        which.stream()
            .map(fact -> value(fact, new FactName("", "")))
            .collect(Collectors.joining(", "));
    return new Told.Line(name.what(), UNKNOWN + " (" + of.what() + " " + of.measured(all) + ")");
  }

  private Told.Table table(String within, FactName name, List<Facts> rows) {
    List<String> head = new ArrayList<>();
    List<List<String>> cells =
        rows.stream().map(row -> (List<String>) new ArrayList<String>()).toList();
    for (int column = 0; column < rows.get(0).list().size(); column++) {
      int at = column;
      List<Fact> facts = rows.stream().map(row -> row.list().get(at)).toList();
      head.add(FactName.of(within, facts.get(0).name()).head(name));
      int decimals = facts.stream().mapToInt(fact -> decimals(fact.value())).max().orElse(0);
      for (int row = 0; row < rows.size(); row++) {
        cells.get(row).add(cell(facts.get(row), decimals));
      }
    }
    return new Told.Table(name.what(), head, cells, rows);
  }

  private String cell(Fact fact, int decimals) {
    return isTold(fact.value())
        ? value(fact.name(), fact.value(), new FactName("", ""), decimals)
        : UNKNOWN_IN_TABLE;
  }

  private String value(Fact fact, FactName name) {
    return value(fact.name(), fact.value(), name, decimals(fact.value()));
  }

  private String value(String key, @Nullable Object value, FactName name, int decimals) {
    Optional<Bounds> bounds = Bounds.of(value);
    if (bounds.isPresent()) {
      return bounds.get().words(n -> number(n, decimals), name::measured);
    }
    if (value instanceof Facts facts) {
      return sentence(key, facts);
    }
    if (value instanceof Number number) {
      return name.measured(number(number, decimals));
    }
    if (value instanceof List<?> list) {
      String apart = list.stream().allMatch(Number.class::isInstance) ? ", " : "; ";
      return list.stream()
          .filter(FactWords::isTold)
          .map(item -> value(key, item, name, decimals(item)))
          .collect(Collectors.joining(apart));
    }
    if (value instanceof Fact.Time time) {
      return made.minute(time.ms());
    }
    if (value instanceof Boolean yes) {
      return yes ? "yes" : "no";
    }
    return value == null ? UNKNOWN : plain(value.toString());
  }

  /** {@code cell 3 ahead by 0.65 Ah (0.57 to 0.73)}. */
  private String sentence(String within, Facts facts) {
    StringBuilder text = new StringBuilder();
    for (Fact fact : Bounds.joined(facts).list()) {
      if (isTold(fact.value())) {
        boolean isApart = FactName.isApart(within, fact.name());
        text.append(text.isEmpty() ? "" : isApart ? ", " : " ").append(said(within, fact));
      }
    }
    return text.toString();
  }

  private String said(String within, Fact fact) {
    FactName name = FactName.spoken(within, fact.name());
    if (fact.value() instanceof Boolean yes) {
      return (yes ? "" : "not ") + name.what();
    }
    return (name.what() + " " + value(fact, name)).strip();
  }

  private static String number(Number number, int decimals) {
    return Spoken.withMinus(
        exactly(number).setScale(decimals, RoundingMode.UNNECESSARY).toPlainString());
  }

  /** Of all numbers in a value. */
  private static int decimals(@Nullable Object value) {
    Stream<Number> numbers =
        value instanceof Number number
            ? Stream.of(number)
            : Bounds.of(value).stream().flatMap(Bounds::known);
    return numbers.mapToInt(n -> Math.max(0, exactly(n).scale())).max().orElse(0);
  }

  private static BigDecimal exactly(Number number) {
    return new BigDecimal(number.toString()).stripTrailingZeros();
  }

  private static String plain(String word) {
    String text = MEANT.getOrDefault(word, word);
    if (DATE.matcher(text).matches()) {
      return SpokenTime.day(LocalDate.parse(text));
    }
    return Channel.ofColumn(text)
        .map(FactWords::channel)
        .orElse(ENUM_WORD.matcher(text).matches() ? text.replace('_', ' ') : text);
  }

  private static String channel(Channel channel) {
    return switch (channel.kind()) {
      case CELL -> "cell " + channel.number();
      case TEMPERATURE -> "temperature sensor " + channel.number();
      case CURRENT -> "current";
      case PACK_VOLTAGE -> "pack voltage";
      case SOC -> "the board's state of charge";
      case BLEED_MASK -> "bleed bits";
      case CHARGE_SWITCH -> "charge switch";
      case DISCHARGE_SWITCH -> "discharge switch";
      case BOARD_CHARGE -> "the board's charge counter";
      case BOARD_ALARMS -> "the board's alarm bits";
    };
  }

  /** A list of facts is a table; so are facts that hold nothing but facts. Else empty. */
  private static List<Facts> rows(@Nullable Object value) {
    List<Facts> rows = new ArrayList<>();
    if (value instanceof List<?> list) {
      for (Object item : list) {
        if (item instanceof Facts facts) {
          rows.add(Bounds.joined(facts));
        }
      }
    } else if (value instanceof Facts facts && Bounds.of(facts).isEmpty()) {
      for (Fact fact : Bounds.joined(facts).list()) {
        if (!(fact.value() instanceof Facts inner) || Bounds.of(inner).isPresent()) {
          return List.of();
        }
        String kind = FactName.of("", fact.name()).what();
        rows.add(Facts.of().put("kind", kind).putAll(inner).build());
      }
    }
    return sameColumns(rows);
  }

  /**
   * What a row leaves out is not known in it: every value stands below its name, and which cell it
   * is of stands before it.
   */
  private static List<Facts> sameColumns(List<Facts> rows) {
    List<String> names =
        rows.stream()
            .flatMap(row -> row.list().stream())
            .map(Fact::name)
            .distinct()
            .sorted(Comparator.comparing(name -> !name.equals("cell")))
            .toList();
    return rows.stream()
        .map(
            row ->
                new Facts(names.stream().map(n -> new Fact(n, row.get(n).orElse(null))).toList()))
        .toList();
  }
}
