package org.cellherd.pile;

import java.time.DateTimeException;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.OffsetDateTime;
import java.time.YearMonth;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.IntFunction;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Worded;
import org.cellherd.pile.CellsColumn.Kind;
import org.cellherd.toml.Suggestion;

/** Makes one unit of the fields of one line; says what is wrong with each. */
final class UnitRow {
  private static final long HALF_DAY_MS = 43_200_000;

  /** An id goes into plans, topics of text and pictures. */
  private static final String ID = "[A-Za-z0-9][A-Za-z0-9._-]{0,31}";

  private final RowFields fields;

  UnitRow(RowFields fields) {
    this.fields = fields;
  }

  Unit unit() {
    int series = fields.count(Kind.SERIES);
    return new Unit(
        id(),
        fields.text(Kind.DONOR, 0).orElse(""),
        chemistry(),
        fields.ampereHours(Kind.RATED_AH, 0),
        series,
        fields.count(Kind.PARALLEL),
        made(),
        fields.number(Kind.MASS_G, 0, 0.1, 1_000_000),
        damage(),
        fields.text(Kind.REMARKS, 0).orElse(""),
        inOrder(measured(n -> rest(n, series))),
        measured(this::resistance),
        measured(n -> capacity(n, series)));
  }

  private String id() {
    String id = fields.text(Kind.ID, 0).orElse("");
    if (!id.matches(ID)) {
      fields.wrong(
          Kind.ID,
          0,
          id.isEmpty()
              ? "is empty; write on each unit a name that no other has"
              : "\"" + RowFields.cut(id) + "\": letters, digits, . _ and -, at most 32");
    }
    return id;
  }

  private Optional<Chemistry> chemistry() {
    Optional<String> word = fields.text(Kind.CHEMISTRY, 0);
    Optional<Chemistry> found = word.flatMap(Chemistry::ofWord);
    if (word.isPresent() && found.isEmpty()) {
      List<String> all = Worded.words(Chemistry.values());
      fields.wrong(
          Kind.CHEMISTRY,
          0,
          "\""
              + RowFields.cut(word.get())
              + "\""
              + Suggestion.phrase(word.get(), all)
              + ", allowed: "
              + String.join(", ", all));
    }
    return found;
  }

  private Set<Damage> damage() {
    Set<Damage> found = EnumSet.noneOf(Damage.class);
    for (String word :
        fields.text(Kind.DAMAGE, 0).orElse("").toLowerCase(Locale.ROOT).split("[ ,;/]+")) {
      Optional<Damage> one = Worded.find(Damage.values(), word);
      one.ifPresent(found::add);
      if (one.isEmpty() && !word.isEmpty() && !word.equals("none") && !word.equals("no")) {
        List<String> all = Worded.words(Damage.values());
        fields.wrong(
            Kind.DAMAGE,
            0,
            "\""
                + RowFields.cut(word)
                + "\""
                + Suggestion.phrase(word, all)
                + ", allowed: "
                + String.join(", ", all)
                + "; other words belong in remarks");
      }
    }
    // What was written into the remarks is not overlooked.
    for (String word :
        fields.text(Kind.REMARKS, 0).orElse("").toLowerCase(Locale.ROOT).split("[^a-z]+")) {
      Worded.find(Damage.values(), word).ifPresent(found::add);
    }
    return found;
  }

  private Optional<LocalDate> made() {
    Optional<String> text = fields.text(Kind.MADE, 0);
    try {
      return text.map(UnitRow::day);
    } catch (DateTimeException bad) {
      fields.wrong(
          Kind.MADE,
          0,
          "\""
              + RowFields.cut(text.orElse(""))
              + "\" is no day; write 2019-05-31, 2019-05 or 2019");
      return Optional.empty();
    }
  }

  private static LocalDate day(String text) {
    if (text.matches("[0-9]{4}")) {
      return LocalDate.of(Integer.parseInt(text), 7, 1);
    }
    return text.matches("[0-9]{4}-[0-9]{2}")
        ? YearMonth.parse(text).atDay(15)
        : LocalDate.parse(text);
  }

  private Optional<Unit.RestVoltage> rest(int n, int series) {
    OptionalDouble volts = fields.number(Kind.REST_V, n, 0, 6.0 * series);
    Optional<Unit.RestVoltage> at = fields.text(Kind.REST_AT, n).flatMap(t -> instant(t, n));
    if (volts.isEmpty()) {
      return Optional.empty();
    }
    double mv = volts.getAsDouble() * 1000;
    return Optional.of(
        at.map(a -> new Unit.RestVoltage(mv, a.atMs(), a.withinMs()))
            .orElse(new Unit.RestVoltage(mv, Long.MIN_VALUE, Long.MAX_VALUE)));
  }

  private Optional<Unit.RestVoltage> instant(String text, int n) {
    try {
      if (text.matches("[0-9]{4}-[0-9]{2}-[0-9]{2}")) {
        long noon = LocalDate.parse(text).atTime(12, 0).toInstant(ZoneOffset.UTC).toEpochMilli();
        return Optional.of(new Unit.RestVoltage(0, noon, HALF_DAY_MS));
      }
      String iso = text.replace(' ', 'T');
      boolean hasZone = iso.matches(".*(Z|[+-][0-9]{2}:?[0-9]{2})$") && iso.indexOf('T') > 0;
      long ms =
          hasZone
              ? OffsetDateTime.parse(iso).toInstant().toEpochMilli()
              : LocalDateTime.parse(iso).toInstant(ZoneOffset.UTC).toEpochMilli();
      return Optional.of(new Unit.RestVoltage(0, ms, 60_000));
    } catch (DateTimeException bad) {
      fields.wrong(
          Kind.REST_AT,
          n,
          "\"" + RowFields.cut(text) + "\" is no time; write 2026-03-01T18:00 or 2026-03-01");
      return Optional.empty();
    }
  }

  private List<Unit.RestVoltage> inOrder(List<Unit.RestVoltage> rests) {
    for (int i = 1; i < rests.size(); i++) {
      Unit.RestVoltage before = rests.get(i - 1);
      if (rests.get(i).atMs() <= before.atMs() && before.withinMs() != Long.MAX_VALUE) {
        fields.wrong(
            Kind.REST_AT,
            i + 1,
            "is not later than the voltage before it; number the voltages in the order in which"
                + " they were measured");
      }
    }
    return rests;
  }

  private Optional<Unit.ResistanceTest> resistance(int n) {
    OptionalDouble mohm = fields.number(Kind.RES_MOHM, n, 0.001, 100_000);
    Optional<String> by = fields.text(Kind.RES_BY, n).map(w -> w.toLowerCase(Locale.ROOT));
    OptionalDouble seconds = fields.number(Kind.RES_S, n, 0.001, 3600);
    OptionalDouble celsius = fields.number(Kind.RES_C, n, -40, 80);
    if (fields.number(Kind.RES_A, n, 0.001, 10_000).isPresent() && seconds.isEmpty()) {
      fields.wrong(Kind.RES_S, n, "is empty; how long after the step was it read?");
    }
    if (mohm.isEmpty()) {
      return Optional.empty();
    }
    Unit.ResistanceTest.Method method =
        seconds.isPresent() ? Unit.ResistanceTest.Method.DC : Unit.ResistanceTest.Method.AC;
    if (by.isPresent()) {
      Optional<Unit.ResistanceTest.Method> said =
          Worded.find(Unit.ResistanceTest.Method.values(), by.get());
      if (said.isEmpty()) {
        fields.wrong(Kind.RES_BY, n, "\"" + RowFields.cut(by.get()) + "\", allowed: ac, dc");
      } else if (said.get() != method) {
        fields.wrong(
            Kind.RES_BY,
            n,
            "is %s: dc has the seconds after the step in res_%s_s, ac has none"
                .formatted(by.get(), n));
      }
    }
    return Optional.of(
        new Unit.ResistanceTest(mohm.getAsDouble(), method, seconds.orElse(0), celsius));
  }

  private Optional<Unit.CapacityTest> capacity(int n, int series) {
    OptionalDouble ah = fields.ampereHours(Kind.CAP_AH, n);
    OptionalDouble amperes = fields.number(Kind.CAP_A, n, 0.001, 10_000);
    OptionalDouble celsius = fields.number(Kind.CAP_C, n, -40, 80);
    OptionalDouble volts = fields.number(Kind.CAP_TO_V, n, 0.5, 6.0 * series);
    OptionalDouble mv =
        volts.isPresent() ? OptionalDouble.of(volts.getAsDouble() * 1000) : OptionalDouble.empty();
    return ah.isPresent()
        ? Optional.of(new Unit.CapacityTest(ah.getAsDouble(), amperes, celsius, mv, isLeast(n)))
        : Optional.empty();
  }

  private boolean isLeast(int n) {
    String word = fields.text(Kind.CAP_LEAST, n).orElse("no").toLowerCase(Locale.ROOT);
    if (!word.equals("yes") && !word.equals("no")) {
      fields.wrong(Kind.CAP_LEAST, n, "\"" + RowFields.cut(word) + "\", allowed: yes, no");
    }
    return word.equals("yes");
  }

  private <T> List<T> measured(IntFunction<Optional<T>> one) {
    List<T> all = new ArrayList<>();
    for (int n = 1; n <= fields.measurements(); n++) {
      one.apply(n).ifPresent(all::add);
    }
    return all;
  }
}
