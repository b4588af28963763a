package org.cellherd.report;

import static java.util.Map.entry;
import static org.assertj.core.api.Assertions.assertThat;

import java.lang.invoke.MethodType;
import java.lang.reflect.ParameterizedType;
import java.lang.reflect.RecordComponent;
import java.lang.reflect.Type;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.Random;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.SimulatedRun;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;
import org.cellherd.pack.SpokenTime;
import org.cellherd.sim.Scenarios;
import org.cellherd.sim.TestScenarios;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.MethodSource;

/** Names and values of findings as a report shows them. */
class FactWordsTest {

  /** Abbreviations of programs: nobody says them aloud. */
  private static final String INTERNAL =
      "(?s).*(\\b(soc|mad|sd|src|eta|temp|crate|wh by|pct|mohm|se|mid|25c|k)\\b"
          + "|\\b(low|high)\\b(?! (charge|capacity))|_).*";

  /** What a key says of the unit of its value, read without what the report makes of it. */
  private static final Pattern UNIT =
      Pattern.compile(
          "(?:.*_)?(mv|v|ma|ah|wh|w|mohm|pct|h|s|c|min|minutes|hours|days|years)"
              + "(?:_(?:low|mid|high)|_per_[a-z]+(?:_(?:low|high))?)?");

  private static final Map<String, String> SYMBOLS =
      Map.ofEntries(
          entry("mv", "mV"),
          entry("v", "V"),
          entry("ma", "mA"),
          entry("ah", "Ah"),
          entry("wh", "Wh"),
          entry("w", "W"),
          entry("mohm", "m\u03a9"),
          entry("pct", "%"),
          entry("h", "h"),
          entry("s", "s"),
          entry("c", "\u00b0C"),
          entry("min", "min"),
          entry("minutes", "min"),
          entry("hours", "h"),
          entry("days", "days"),
          entry("years", "years"));

  /** A whole night and the day behind it; neither 40 h nor 1 Hz brought another kind of fact. */
  private static final double MOST_HOURS = 24;

  private static final int POLL_S = 5;

  /** The one in which a slower pace misses a kind of fact. */
  private static final String AT_ITS_PACE = "stuck-cell";

  private final FactWords words = new FactWords(new Made(ZoneOffset.UTC, 0, "cellherd"));

  /** Each sentence is read once, what it does not say beneath it. */
  @Test
  void whatASentenceEndsWithIsNotSaidAgainBeneathIt() {
    Facts facts = Facts.of().put("cause", "wiring").put("cause_text", "Look at the wire.").build();
    Finding said =
        ResultForm.finding(FindingName.BALANCE, 0, 0, facts, "Balanced. Look at the wire.");
    Finding other = ResultForm.finding(FindingName.BALANCE, 0, 0, facts, "Balanced.");

    assertThat(FactWords.unsaid(said).get("cause_text")).isEmpty();
    assertThat(FactWords.unsaid(other).get("cause_text")).isPresent();
  }

  /** Of a result of each kind, however deep it lies, whatever of it is known. */
  @ParameterizedTest
  @EnumSource
  void everyFactOfADrawnFindingIsWhatAnEngineerWouldWrite(FindingName kind) throws Exception {
    Class<?> type = ResultForm.finding(kind, 0, 0, Facts.NONE, "").result().getClass();
    for (long seed = 0; seed < 200; seed++) {
      Facts facts = ResultForm.facts((Record) drawn(type, new Random(seed)));
      check(facts, kind + ", seed " + seed);
    }
  }

  /** Of what alerts and doubts rest on, which no result's type tells: by runs of all scenarios. */
  @ParameterizedTest
  @MethodSource("everyScenario")
  void everyFactBehindAnAlertOrADoubtIsWhatAnEngineerWouldWrite(String scenario) {
    int pollS = scenario.equals(AT_ITS_PACE) ? 1 : POLL_S;
    SimulatedRun run = new SimulatedRun(TestScenarios.polledEvery(pollS, scenario), true);
    Set<Facts> doubts = new HashSet<>();
    run.run(
        1_800_000,
        r -> {
          if (r.hours() > MOST_HOURS) {
            r.stop();
          }
          r.analysis().standing().stream()
              .filter(f -> f.name() == FindingName.PLAUSIBILITY)
              .forEach(f -> doubts.add(f.facts()));
        });

    doubts.forEach(facts -> check(facts, scenario));
    for (AlertEvent event : run.events()) {
      check(Alert.Peak.without(event.alert().evidence()), scenario + " " + event.alert().key());
    }
  }

  static List<String> everyScenario() {
    return Scenarios.shipped();
  }

  private void check(Facts facts, String what) {
    for (Fact fact : Bounds.joined(facts).list()) {
      List<String> lines = new ArrayList<>();
      lines(words.told(new Facts(List.of(fact))), lines);
      String text = String.join("\n", lines);
      assertThat(text).as("%s of %s", fact, what).doesNotMatch(INTERNAL);
      for (String line : lines) {
        assertThat(line.replaceAll("\\d\\d:\\d\\d", ""))
            .as("%s of %s", fact, what)
            .matches("(\\S[^:]*: )?[^:]+")
            .doesNotContain("null", "NaN", "Infinity", "at least at", "  ")
            .doesNotContainPattern(
                "at least (?!\u2212?\\d)|at most (?!\u2212?\\d)|\u22120(\\.0*)?(?![.\\d])");
      }
      List<String> units = new ArrayList<>();
      units(fact, units);
      assertThat(units).as("%s of %s", fact, what).allMatch(text::contains);
    }
  }

  /** Names and values, each line and each cell of a table by itself. */
  private static void lines(List<Told> told, List<String> lines) {
    for (Told fact : told) {
      assertThat(fact.name()).as("%s", fact).isNotBlank();
      if (fact instanceof Told.Line line) {
        lines.add(line.name() + ": " + line.text());
      } else if (fact instanceof Told.Table table) {
        assertThat(table.head()).doesNotHaveDuplicates().noneMatch(String::isBlank);
        lines.addAll(table.head());
        table.rows().forEach(lines::addAll);
      } else if (fact instanceof Told.Parts parts) {
        lines.add(parts.name());
        lines(parts.parts(), lines);
      }
    }
  }

  /** The symbol of the unit of each number that is known. */
  private static void units(Fact fact, List<String> units) {
    if (fact.value() instanceof Facts inner) {
      boolean isInterval = Bounds.of(inner).isPresent();
      inner.list().forEach(f -> units(isInterval ? new Fact(fact.name(), f.value()) : f, units));
    } else if (fact.value() instanceof List<?> list) {
      list.stream()
          .filter(Facts.class::isInstance)
          .forEach(item -> units(new Fact(fact.name(), item), units));
    } else if (fact.value() instanceof Number) {
      Matcher unit = UNIT.matcher(fact.name());
      if (unit.matches()) {
        units.add(SYMBOLS.get(unit.group(1)));
      }
    }
  }

  @Test
  void aNumberAndWhatItsErrorsLeaveOpenHaveOneForm() {
    assertThat(said(0.569, 0.647, 0.73)).isEqualTo("0.647 Ah (0.569 to 0.730)");
    assertThat(said(0.5, null, 0.73)).isEqualTo("0.50 to 0.73 Ah");
    assertThat(said(0.5, null, null)).isEqualTo("at least 0.5 Ah");
    assertThat(said(null, null, 0.7)).isEqualTo("at most 0.7 Ah");
    assertThat(said(-0.2, 0.0, 1.0)).isEqualTo("0.0 Ah (\u22120.2 to 1.0)");
    assertThat(said(2.0, 2.0, 2.0)).isEqualTo("2 Ah");
    assertThat(words.told(lead(null, null, null))).isEmpty();
  }

  private String said(@Nullable Double low, @Nullable Double mid, @Nullable Double high) {
    return ((Told.Line) words.told(lead(low, mid, high)).get(0)).text();
  }

  private static Facts lead(@Nullable Double low, @Nullable Double mid, @Nullable Double high) {
    return new Facts(
        List.of(new Fact("low_ah", low), new Fact("mid_ah", mid), new Fact("high_ah", high)));
  }

  /** No column of dashes, and no table of them. */
  @Test
  void onlyWhatIsKnownHasAColumn() {
    Facts.Builder life = Facts.of();
    List<Facts> rows =
        List.of(80, 70).stream()
            .map(to -> Facts.of().put("to_pct", to).putUnknown("years").putUnknown("cause").build())
            .toList();
    assertThat(words.told(life.put("life", rows).build()))
        .containsExactly(new Told.Line("life left", "not known (down to 80, 70 %)"));

    Facts partly = Facts.of().put("to_pct", 80).put("years", 4).putUnknown("cause").build();
    Told.Table table =
        (Told.Table)
            words.told(Facts.of().put("life", List.of(partly, rows.get(1))).build()).get(0);
    assertThat(table.head()).containsExactly("down to, %", "life left, years");
    assertThat(table.rows()).containsExactly(List.of("80", "4"), List.of("70", "\u2013"));
  }

  @Test
  void whatIsWithinAFactIsAPhrase() {
    Facts apart =
        Facts.of().put("cell", 3).put("is", "ahead").putAll(lead(0.5, null, null)).build();

    assertThat(words.told(Facts.of().put("apart", apart).build()))
        .containsExactly(new Told.Line("out of step before", "cell 3 ahead by at least 0.5 Ah"));
  }

  @Test
  void aWordOfTheCodeIsSaidInFull() {
    assertThat(text("tail")).isEqualTo("the current had faded to its tail");
  }

  /** A date of a finding reads as the dates of the report's own sentences. */
  @Test
  void everyDateHasTheOneForm() {
    Random random = new Random(1);
    for (int i = 0; i < 100; i++) {
      LocalDate day = LocalDate.ofEpochDay(random.nextInt(40_000));
      assertThat(text(day.toString())).isEqualTo(SpokenTime.day(day));
    }
  }

  private String text(String value) {
    return ((Told.Line) words.told(Facts.of().put("end", value).build()).get(0)).text();
  }

  /** A value of a type of which anything may be missing. */
  private static Object drawn(Type type, Random random) throws Exception {
    if (type instanceof ParameterizedType of) {
      Type inside = of.getActualTypeArguments()[0];
      if (of.getRawType() == Optional.class) {
        return random.nextInt(3) == 0 ? Optional.empty() : Optional.of(drawn(inside, random));
      }
      List<Object> list = new ArrayList<>();
      for (int left = random.nextInt(4); left > 0; left--) {
        list.add(drawn(inside, random));
      }
      return list;
    }
    Class<?> plain = (Class<?>) type;
    if (plain == Interval.class) {
      return interval(random);
    }
    if (plain.isEnum()) {
      return plain.getEnumConstants()[random.nextInt(plain.getEnumConstants().length)];
    }
    if (plain == Facts.class) {
      return Facts.NONE;
    }
    if (!plain.isRecord()) {
      return single(plain, random);
    }
    RecordComponent[] parts = plain.getRecordComponents();
    Object[] values = new Object[parts.length];
    for (int i = 0; i < parts.length; i++) {
      values[i] = drawn(parts[i].getGenericType(), random);
    }
    Class<?>[] types = Arrays.stream(parts).map(RecordComponent::getType).toArray(Class<?>[]::new);
    return plain.getDeclaredConstructor(types).newInstance(values);
  }

  private static Interval interval(Random random) {
    double[] ends = {number(random), number(random), number(random)};
    Arrays.sort(ends);
    return switch (random.nextInt(4)) {
      case 0 -> Interval.exactly(ends[0]);
      case 1 -> new Interval(ends[0], ends[1], Double.POSITIVE_INFINITY);
      case 2 -> new Interval(Double.NEGATIVE_INFINITY, ends[1], ends[2]);
      default -> new Interval(ends[0], ends[1], ends[2]);
    };
  }

  private static double number(Random random) {
    return random.nextInt(5) == 0
        ? 0
        : (random.nextDouble() - 0.3) * Math.pow(10, random.nextInt(4));
  }

  private static Object single(Class<?> plain, Random random) {
    boolean isKnown = random.nextInt(3) > 0;
    List<Object> some =
        List.of(
            isKnown ? OptionalDouble.of(number(random)) : OptionalDouble.empty(),
            isKnown ? OptionalInt.of(random.nextInt(16)) : OptionalInt.empty(),
            isKnown ? OptionalLong.of(random.nextInt()) : OptionalLong.empty(),
            isKnown ? "words" : "",
            random.nextInt(100),
            (long) random.nextInt(),
            isKnown ? number(random) : Double.NaN,
            isKnown);
    return some.stream()
        .filter(one -> MethodType.methodType(plain).wrap().returnType().isInstance(one))
        .findFirst()
        .orElseThrow(() -> new IllegalArgumentException("no value of " + plain));
  }
}
