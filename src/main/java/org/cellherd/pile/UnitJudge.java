package org.cellherd.pile;

import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Predicate;
import java.util.function.ToDoubleFunction;
import java.util.stream.Collectors;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.cell.Arrhenius;
import org.cellherd.analysis.cell.AtRoomTemperature;
import org.cellherd.pack.CellLimits;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.Worded;

final class UnitJudge {

  /** Repeatability of a resistance with its contacts, percent; common practice, no source. */
  private static final long MS_PER_DAY = 86_400_000L;

  private static final double RESISTANCE_PCT = 5;

  /** Beyond it the calendar life that makers state is usually over; from memory. */
  private static final int OLD_YEARS = 15;

  private final Unit unit;
  private final List<Unit> pile;
  private final Triage.Settings settings;
  private final List<Triage.Reason> reasons = new ArrayList<>();
  private final List<String> missing = new ArrayList<>();
  private Optional<String> next = Optional.empty();

  UnitJudge(Unit unit, List<Unit> pile, Triage.Settings settings) {
    this.unit = unit;
    this.pile = pile;
    this.settings = settings;
  }

  Triage.Assessment judge() {
    damage();
    rest();
    capacity();
    resistance();
    Optional<VoltageFall> leak = selfDischarge();
    age();
    return new Triage.Assessment(
        unit, reasons, missing, next(), leak.map(VoltageFall::pctPerMonth));
  }

  private Optional<String> next() {
    return isOut() ? Optional.empty() : next;
  }

  /** Refused: then nothing more is to be learnt of it, least of all by charging it. */
  private boolean isOut() {
    return reasons.stream().anyMatch(r -> r.verdict() == Triage.Verdict.DO_NOT_USE);
  }

  private void add(String about, Triage.Verdict verdict, String sentence) {
    reasons.add(new Triage.Reason(about, verdict, sentence));
  }

  private void measure(String what) {
    next = next.isPresent() ? next : Optional.of(what);
  }

  private void damage() {
    if (!unit.damage().isEmpty()) {
      String words =
          unit.damage().stream().sorted().map(Worded::word).collect(Collectors.joining(", "));
      add("damage", Triage.Verdict.DO_NOT_USE, "It is marked as " + words + ".");
    }
  }

  private void rest() {
    OptionalDouble mv = unit.restMvPerCell();
    if (mv.isEmpty()) {
      missing.add("rest voltage");
      add("rest", Triage.Verdict.MEASURE_AGAIN, "Its rest voltage was never measured.");
      measure("rest voltage");
      return;
    }
    if (unit.chemistry().isEmpty()) {
      missing.add("chemistry");
      add(
          "chemistry",
          Triage.Verdict.MEASURE_AGAIN,
          "Its chemistry is not stated, so its voltage has no limits.");
      measure("chemistry");
      return;
    }
    CellLimits limits = unit.chemistry().get().limits();
    String at = "It rests at " + Spoken.volts(mv.getAsDouble()) + " a cell";
    if (mv.getAsDouble() < limits.cutOffLowMv()) {
      add(
          "rest",
          Triage.Verdict.DO_NOT_USE,
          "%s, below the cut-off of %s: deeply discharged."
              .formatted(at, Spoken.volts(limits.cutOffLowMv())));
    } else if (mv.getAsDouble() > limits.cutOffHighMv()) {
      add(
          "rest",
          Triage.Verdict.DO_NOT_USE,
          "%s, above the limit of %s: overcharged, or another chemistry."
              .formatted(at, Spoken.volts(limits.cutOffHighMv())));
    }
  }

  private void capacity() {
    Optional<Unit.CapacityTest> test = unit.capacity();
    if (test.isEmpty()) {
      missing.add("capacity");
      add("capacity", Triage.Verdict.MEASURE_AGAIN, "Its capacity was never measured.");
      measure("capacity");
      return;
    }
    double ah = roomAh(test.get());
    if (unit.ratedAh().isPresent()) {
      double pct = 100 * ah / unit.ratedAh().getAsDouble();
      if (pct < settings.leastPct()) {
        add(
            "capacity",
            Triage.Verdict.DO_NOT_USE,
            "It holds %s Ah%s, %s %% of its rating; the least wanted is %s %%."
                .formatted(
                    Amount.of(ah),
                    atRoom(test.get().ah(), ah),
                    Amount.of(pct),
                    Amount.of(settings.leastPct())));
        return;
      }
    }
    compare(
        "capacity",
        "Ah" + atRoom(test.get().ah(), ah),
        ah,
        u -> u.capacity().isPresent() && isAlike(u),
        u -> u.capacity().map(UnitJudge::roomAh).orElse(0.0),
        new Side(settings.capacityPct(), -1, unit.capacities().size()));
  }

  /** Said of a value that is not the one that was written down. */
  private static String atRoom(double written, double told) {
    return Double.compare(written, told) == 0 ? "" : " at 25 °C";
  }

  private static double roomAh(Unit.CapacityTest test) {
    return test.celsius().isPresent()
        ? AtRoomTemperature.ah(test.ah(), test.celsius().getAsDouble()).orElse(test.ah())
        : test.ah();
  }

  private void resistance() {
    Optional<Unit.ResistanceTest> test = unit.resistance();
    if (test.isEmpty()) {
      missing.add("resistance");
      measure("resistance");
      return;
    }
    Unit.ResistanceTest own = test.get();
    compare(
        "resistance",
        "mohm by " + own.how() + atRoom(own.mohm(), roomMohm(own)),
        roomMohm(own),
        u -> u.resistance().filter(own::isLike).isPresent() && isAlike(u),
        u -> u.resistance().map(UnitJudge::roomMohm).orElse(0.0),
        new Side(RESISTANCE_PCT, 1, (int) unit.resistances().stream().filter(own::isLike).count()));
  }

  /** At 25 degC by the middle of the published activation energies. */
  private static double roomMohm(Unit.ResistanceTest test) {
    double activation = Math.sqrt(Arrhenius.LEAST * Arrhenius.MOST);
    return test.mohm() / Arrhenius.factor(test.celsius().orElse(25), activation);
  }

  /** Units of the same make-up: only they are peers. */
  private boolean isAlike(Unit other) {
    return other.series() == unit.series()
        && other.parallel() == unit.parallel()
        && other.chemistry().equals(unit.chemistry())
        && other.ratedAh().equals(unit.ratedAh());
  }

  /**
   * Which side of the peers is the bad one.
   *
   * @param errorPct of one measurement
   * @param sign 1 where more is worse
   * @param tests how often this unit was measured
   */
  private record Side(double errorPct, int sign, int tests) {}

  private void compare(
      String about,
      String unitWords,
      double own,
      Predicate<Unit> isPeer,
      ToDoubleFunction<Unit> value,
      Side side) {
    List<Unit> peers = pile.stream().filter(isPeer).toList();
    List<Unit> kin =
        unit.donor().isEmpty()
            ? List.of()
            : peers.stream().filter(u -> u.donor().equals(unit.donor())).toList();
    judge(
        about,
        unitWords,
        own,
        kin.stream().mapToDouble(value).toArray(),
        "its donor's units",
        side);
    if (kin.size() < peers.size()) {
      judge(about, unitWords, own, peers.stream().mapToDouble(value).toArray(), "the pile", side);
    }
  }

  private void judge(
      String about, String unitWords, double own, double[] peers, String whose, Side side) {
    if (peers.length < Outlier.LEAST_PEERS) {
      return;
    }
    Outlier outlier = Outlier.of(own, peers, own * side.errorPct() / 100);
    if (side.sign() * outlier.score() <= Outlier.STANDS_OUT) {
      return;
    }
    boolean isSure = side.tests() > 1;
    add(
        about,
        isSure ? Triage.Verdict.DO_NOT_USE : Triage.Verdict.MEASURE_AGAIN,
        String.format(
            Locale.ROOT,
            "Its %s of %s %s lies %.1f times the usual scatter %s the median of %s (%s)%s",
            about,
            Amount.of(own),
            unitWords,
            Math.abs(outlier.score()),
            side.sign() > 0 ? "above" : "below",
            whose,
            Amount.of(outlier.median()),
            isSure ? ", measured more than once." : "; one measurement may be at fault."));
    if (!isSure) {
      measure(about + " once more");
    }
  }

  private Optional<VoltageFall> selfDischarge() {
    List<Unit> peers = pile.stream().filter(this::isAlike).toList();
    Optional<VoltageFall> found = VoltageFall.of(unit, peers, settings.meterMv());
    if (found.isEmpty()) {
      missing.add("self-discharge");
      measure(wait(unit));
      return found;
    }
    Interval share = found.get().pctPerMonth();
    Interval fall = found.get().mvPerDay();
    String seen =
        String.format(
            Locale.ROOT,
            "At rest it fell %s mV a day more than its peers (%s) over %s",
            Spoken.number(fall.mid(), 2),
            Spoken.between(fall.low(), fall.high(), 2),
            over(found.get()));
    if (share.low() > VoltageFall.MOST_PCT || fall.low() > VoltageFall.MOST_MV_PER_DAY) {
      add("self-discharge", Triage.Verdict.DO_NOT_USE, seen + ": " + amount(share) + ".");
    } else if (share.high() > VoltageFall.MOST_PCT) {
      String what = !found.get().isApart() ? level(found.get()) : seen + ": " + amount(share);
      add(
          "self-discharge",
          found.get().isApart() ? Triage.Verdict.MEASURE_AGAIN : Triage.Verdict.USE,
          what + (isOut() ? "." : ". To be sure: " + wait(unit) + "."));
      measure(wait(unit));
    }
    return found;
  }

  /** Of units that do as their peers do, the same is said. */
  private static String level(VoltageFall found) {
    Interval fall = found.mvPerDay();
    double off = Math.max(fall.high(), -fall.low());
    return "At rest it did as its peers did over "
        + over(found)
        + " (within "
        + Spoken.high(off, 1)
        + " mV a day), which excludes nothing yet";
  }

  private static String over(VoltageFall found) {
    return Spoken.duration(Math.round(found.days() * MS_PER_DAY));
  }

  private String amount(Interval share) {
    OptionalDouble ah =
        unit.capacity().isPresent()
            ? OptionalDouble.of(roomAh(unit.capacity().get()))
            : unit.ratedAh();
    String pct =
        Double.isInfinite(share.high())
            ? "at least "
                + Amount.low(share.low())
                + " % of charge a month, no upper bound on the plateau"
            : Amount.between(share.low(), share.high()) + " % of charge a month";
    if (ah.isEmpty()) {
      return pct;
    }
    double perPct = 10 * ah.getAsDouble() / (24 * VoltageFall.DAYS_A_MONTH);
    return Double.isInfinite(share.high())
        ? pct
        : pct + ", " + Amount.between(share.low() * perPct, share.high() * perPct) + " mA";
  }

  private String wait(Unit of) {
    OptionalDouble days = VoltageFall.daysNeeded(of, settings.meterMv());
    if (of.restMvPerCell().isEmpty()) {
      return "rest voltage, twice, some days apart";
    }
    return days.isPresent()
        ? "rest voltage again, "
            + Spoken.counted(Math.max(1, (long) Math.ceil(days.getAsDouble())), "day")
            + " after the first"
        : "charge to the knee, rest a day, then rest voltage twice, some days apart: on the plateau"
            + " voltage says nothing";
  }

  private void age() {
    unit.made()
        .ifPresent(
            day -> {
              long years = ChronoUnit.YEARS.between(day, settings.today());
              if (years >= OLD_YEARS) {
                add(
                    "age",
                    Triage.Verdict.MEASURE_AGAIN,
                    "It is "
                        + years
                        + " years old; compare with the calendar life in its maker's sheet.");
              }
            });
  }
}
