package org.cellherd.analysis.result;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.math.RoundingMode;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Random;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Worded;
import org.junit.jupiter.api.Test;

class ResultFormTest {
  /** Made up: one part of every type that results have. */
  record Every(
      @Time long atMs,
      @Digits(2) Optional<Interval> ahAt25c,
      @Digits(value = 1, style = Digits.Style.ENDS) Interval leakMa,
      @Digits(value = 1, style = Digits.Style.IN_FRONT) @WhenKnown Optional<Interval> years,
      @Digits(3) double meanV,
      @Digits(value = 0, to = RoundingMode.CEILING) OptionalDouble daysTo5Pct,
      int cell,
      OptionalInt weakCell,
      boolean partial,
      Optional<String> reason,
      Colour colour,
      @WhenKnown Optional<Colour> other,
      List<Integer> suspects,
      @Inline Inner inner,
      Inner always,
      List<Inner> rows,
      Optional<Inner> one) {}

  record Inner(@Digits(1) double cRate, Optional<String> text) {}

  enum Colour implements Worded {
    UNKNOWN,
    DARK_RED;
  }

  @Test
  void whatIsWrittenIsReadBackAndWrittenAlike() {
    for (long seed = 0; seed < 500; seed++) {
      Facts once = ResultForm.facts(drawn(new Random(seed)));
      Every read = ResultForm.read(Every.class, once);
      assertEquals(once, ResultForm.facts(read), "seed " + seed);
      assertEquals(
          once, ResultForm.facts(ResultForm.read(Every.class, once)), "again, seed " + seed);
    }
  }

  /** As of a log that an older cellherd wrote. */
  @Test
  void aStoredResultMayLackAnyPart() {
    for (long seed = 0; seed < 500; seed++) {
      Random random = new Random(seed);
      Facts whole = ResultForm.facts(drawn(random));
      Facts some = new Facts(whole.list().stream().filter(fact -> random.nextInt(3) == 0).toList());
      Facts read = ResultForm.facts(ResultForm.read(Every.class, some));
      assertEquals(read, ResultForm.facts(ResultForm.read(Every.class, read)), "seed " + seed);
    }
    for (FindingName name : FindingName.values()) {
      Facts unknown = ResultForm.finding(name, 0, 1, Facts.NONE, "").facts();
      assertEquals(unknown, ResultForm.finding(name, 0, 1, unknown, "").facts());
    }
  }

  private static Every drawn(Random random) {
    return new Every(
        random.nextLong(4_000_000_000_000L),
        maybe(random, interval(random)),
        random.nextInt(4) == 0
            ? new Interval(1.25, 1.25, Double.POSITIVE_INFINITY)
            : interval(random),
        maybe(random, interval(random)),
        random.nextInt(4) == 0 ? Double.NaN : random.nextGaussian(),
        random.nextBoolean() ? OptionalDouble.empty() : OptionalDouble.of(random.nextGaussian()),
        random.nextInt(32),
        random.nextBoolean() ? OptionalInt.empty() : OptionalInt.of(3),
        random.nextBoolean(),
        maybe(random, "why"),
        Colour.values()[random.nextInt(2)],
        maybe(random, Colour.DARK_RED),
        random.nextBoolean() ? List.of() : List.of(1, 5),
        inner(random),
        inner(random),
        List.of(inner(random), inner(random)),
        maybe(random, inner(random)));
  }

  private static Inner inner(Random random) {
    return new Inner(random.nextGaussian() * 1e3, maybe(random, "text"));
  }

  private static <T> Optional<T> maybe(Random random, T value) {
    return random.nextBoolean() ? Optional.of(value) : Optional.empty();
  }

  private static Interval interval(Random random) {
    double mid = random.nextGaussian() * 100;
    return new Interval(mid - random.nextDouble(), mid, mid + random.nextDouble());
  }

  @Test
  void keysComeFromTheNamesAndBoundsGoOutward() {
    Facts facts =
        ResultForm.facts(
            new Every(
                5,
                Optional.of(new Interval(1.236, 1.238, 1.241)),
                new Interval(1.26, 2, Double.POSITIVE_INFINITY),
                Optional.empty(),
                3.20049,
                OptionalDouble.of(4.1),
                2,
                OptionalInt.empty(),
                true,
                Optional.empty(),
                Colour.DARK_RED,
                Optional.empty(),
                List.of(7),
                new Inner(0.25, Optional.of("x")),
                new Inner(0.5, Optional.empty()),
                List.of(),
                Optional.empty()));
    assertEquals(
        "at ah_at_25c ah_at_25c_low ah_at_25c_high leak_ma_low leak_ma_high mean_v days_to_5_pct"
            + " cell weak_cell partial reason colour suspects c_rate text always rows one",
        String.join(" ", facts.list().stream().map(Fact::name).toList()));
    assertEquals(1.23, facts.number("ah_at_25c_low").orElseThrow());
    assertEquals(1.25, facts.number("ah_at_25c_high").orElseThrow());
    assertEquals(1.2, facts.number("leak_ma_low").orElseThrow());
    assertTrue(facts.get("leak_ma_high").isEmpty(), "an open end is unknown");
    assertEquals(3.2, facts.number("mean_v").orElseThrow());
    assertEquals(5, facts.number("days_to_5_pct").orElseThrow());
    assertEquals(Optional.of("dark-red"), facts.text("colour"));
    assertEquals(Optional.of(new Fact.Time(5)), facts.get("at"));
  }

  @Test
  void whatFactsOfAnotherVersionLackIsUnknown() {
    Every read = ResultForm.read(Every.class, Facts.of().put("colour", "mauve").build());
    assertEquals(Colour.UNKNOWN, read.colour());
    assertEquals(Optional.empty(), read.ahAt25c());
    assertTrue(Double.isNaN(read.meanV()));
    assertEquals(List.of(), read.rows());
    assertTrue(Double.isInfinite(read.leakMa().high()));
  }
}
