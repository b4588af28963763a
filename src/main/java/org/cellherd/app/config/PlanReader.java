package org.cellherd.app.config;

import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.Set;
import org.cellherd.mqtt.Topics;
import org.cellherd.pack.CellLimits;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.BoardRating;
import org.cellherd.pack.PackPlan.CellRating;
import org.cellherd.pack.PackPlan.FuseRating;
import org.cellherd.pack.PackPlan.SensorRole;
import org.cellherd.pack.PackPlan.Wire;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.Worded;
import org.cellherd.toml.TomlTable;

/** Reads a {@code [[pack]]} table into the builder's plan. */
final class PlanReader {

  private static final double MOST_AMPERES = 10_000;
  private static final int MOST_CELL_MV = 6000;

  /** Cells in series that were not told rightly: nothing is held against them. */
  private static final int UNKNOWN = 0;

  private PlanReader() {}

  /** The plan, or empty when it cannot be; the table's problems then say why. */
  static Optional<PackPlan> read(TomlTable pack) {
    int before = pack.problems().count();
    String id = pack.textLike("id", PackPlan.ID_PATTERN, PackPlan.ID_WORDS);
    if (Topics.RESERVED.contains(id)) {
      pack.problem("id", "\"" + id + "\" is reserved for topics, choose another id");
    }
    Chemistry chemistry = chemistry(pack);
    int soFar = pack.problems().count();
    int series = pack.integer("series", 1, PackPlan.MAX_SERIES);
    boolean isKnown = pack.problems().count() == soFar;
    int parallel = pack.integer("parallel", 1, 1000);
    double ratedAh = pack.decimal("rated_ah", 0.01, 100_000);
    if (pack.problems().count() > before) {
      readRest(
          pack,
          PackPlan.builder("x", chemistry, Math.max(1, series), 1, 1000),
          isKnown ? series : UNKNOWN);
      return Optional.empty();
    }
    PackPlan.Builder plan =
        PackPlan.builder(id, chemistry, series, parallel, Math.round(ratedAh * 1000));
    readRest(pack, plan, series);
    return pack.problems().count() > before ? Optional.empty() : Optional.of(plan.build());
  }

  private static Chemistry chemistry(TomlTable pack) {
    return pack.textIfAny("chemistry").flatMap(Chemistry::ofWord).orElseGet(() -> unknown(pack));
  }

  private static Chemistry unknown(TomlTable pack) {
    String word = pack.oneOf("chemistry", Worded.words(Chemistry.values()));
    return Chemistry.ofWord(word).orElseThrow();
  }

  private static void readRest(TomlTable pack, PackPlan.Builder plan, int series) {
    PackPlan start = plan.build();
    plan.name(pack.text("name", start.name())).note(pack.text("note", ""));
    CellLimits limits = readCell(pack, plan, start.limits());
    checkKnee(pack, start.chemistry(), limits.kneeMv());
    plan.limits(limits);
    readChargeVoltage(pack, plan, series, limits);
    pack.decimalIfAny("tail_a", 0.001, MOST_AMPERES).ifPresent(a -> plan.tailMa(milli(a)));
    pack.decimalIfAny("load_a", 0.001, MOST_AMPERES).ifPresent(a -> plan.loadMa(milli(a)));
    pack.decimalIfAny("charger_a", 0.001, MOST_AMPERES).ifPresent(a -> plan.chargerMa(milli(a)));
    plan.hiddenLoadMa(pack.integer("hidden_load_ma", 0, 100_000, 0));
    plan.priorCycles(pack.integer("prior_cycles", 0, 1_000_000, 0));
    plan.partialCharge(pack.bool("partial_charge", false));
    plan.sensors(pack.listOf("sensors", SensorRole.class));
    pack.tableIfAny("board").ifPresent(t -> plan.board(board(t)));
    pack.tableIfAny("fuse").ifPresent(t -> plan.fuse(fuse(t)));
    pack.tableIfAny("wire").ifPresent(t -> plan.wire(wire(t)));
    List<List<String>> cells = cells(pack, series);
    plan.cells(cells).history(new HistoryReader(cells).read(pack.tables("history")));
  }

  private static List<List<String>> cells(TomlTable pack, int series) {
    List<List<String>> groups = pack.textLists("cells");
    Set<String> seen = new HashSet<>();
    for (List<String> group : groups) {
      for (String id : group) {
        if (!seen.add(id)) {
          pack.problem("cells", "\"" + id + "\" is there twice; a cell has one place");
        }
      }
    }
    if (series != UNKNOWN && !groups.isEmpty() && groups.size() != series) {
      pack.problem(
          "cells", "names " + Spoken.counted(groups.size(), "group") + ", series is " + series);
      return List.of();
    }
    return groups;
  }

  private static void readChargeVoltage(
      TomlTable pack, PackPlan.Builder plan, int series, CellLimits limits) {
    OptionalInt charge = pack.integerIfAny("charge_mv", 1, PackPlan.MAX_SERIES * MOST_CELL_MV);
    if (charge.isEmpty() || series == UNKNOWN) {
      return;
    }
    int perCell = charge.getAsInt() / series;
    int least = limits.nominalMv();
    int most = limits.cutOffHighMv() + 100;
    if (perCell < least || perCell > most) {
      pack.problem(
          "charge_mv",
          "is %d mV for %s in series, %d mV a cell; allowed: %d to %d mV (whole pack)"
              .formatted(
                  charge.getAsInt(),
                  Spoken.counted(series, "cell"),
                  perCell,
                  series * least,
                  series * most));
      return;
    }
    plan.chargeMv(charge.getAsInt());
  }

  private static CellLimits readCell(TomlTable pack, PackPlan.Builder plan, CellLimits usual) {
    Optional<TomlTable> cell = pack.tableIfAny("cell");
    if (cell.isEmpty()) {
      return usual;
    }
    TomlTable t = cell.get();
    plan.cell(
        new CellRating(amperes(t, "continuous_a"), amperes(t, "peak_a"), amperes(t, "charge_a")));
    int[] mv = {
      millivolts(t, "cut_off_high_mv", usual.cutOffHighMv()),
      millivolts(t, "warn_high_mv", usual.warnHighMv()),
      millivolts(t, "full_mv", usual.fullMv()),
      millivolts(t, "knee_mv", usual.kneeMv()),
      millivolts(t, "nominal_mv", usual.nominalMv()),
      millivolts(t, "warn_low_mv", usual.warnLowMv()),
      millivolts(t, "cut_off_low_mv", usual.cutOffLowMv())
    };
    try {
      return new CellLimits(mv[0], mv[1], mv[2], mv[3], mv[4], mv[5], mv[6]);
    } catch (IllegalArgumentException outOfOrder) {
      t.problem(String.valueOf(outOfOrder.getMessage()));
      return usual;
    }
  }

  /** On the plateau a cell that charges would be taken for one in its knee. */
  private static void checkKnee(TomlTable pack, Chemistry chemistry, int kneeMv) {
    int least = chemistry.plateau().blindToMv();
    if (kneeMv <= least) {
      pack.problem(
          "cell",
          "knee_mv is %d, but the plateau of %s ends at %d mV and its upper knee begins above; allowed: from %d"
              .formatted(kneeMv, chemistry.word(), least, least + 1));
    }
  }

  private static BoardRating board(TomlTable t) {
    return new BoardRating(
        t.text("name", "board"),
        amperes(t, "continuous_a"),
        amperes(t, "trip_a"),
        t.integerIfAny("trip_high_mv", 1000, MOST_CELL_MV),
        t.integerIfAny("trip_low_mv", 500, MOST_CELL_MV),
        t.integerIfAny("bleed_ma", 1, 20_000),
        t.integerIfAny("bleed_from_mv", 1000, MOST_CELL_MV));
  }

  private static FuseRating fuse(TomlTable t) {
    OptionalDouble volts = t.decimalIfAny("max_v", 1, 2000);
    return new FuseRating(
        milli(t.decimal("rated_a", 0.1, MOST_AMPERES)),
        t.integerIfAny("interrupt_a", 1, 1_000_000),
        volts.isPresent() ? OptionalInt.of(milli(volts.getAsDouble())) : OptionalInt.empty());
  }

  private static Wire wire(TomlTable t) {
    OptionalDouble area = t.decimalIfAny("area_mm2", 0.1, 1000);
    OptionalDouble length = t.decimalIfAny("length_m", 0.01, 1000);
    return new Wire(
        amperes(t, "ampacity_a"),
        area.isPresent()
            ? OptionalInt.of((int) Math.round(area.getAsDouble() * 10))
            : OptionalInt.empty(),
        length.isPresent() ? OptionalInt.of(milli(length.getAsDouble())) : OptionalInt.empty());
  }

  private static OptionalInt amperes(TomlTable t, String key) {
    OptionalDouble a = t.decimalIfAny(key, 0.001, MOST_AMPERES);
    return a.isPresent() ? OptionalInt.of(milli(a.getAsDouble())) : OptionalInt.empty();
  }

  private static int millivolts(TomlTable t, String key, int usual) {
    return t.integer(key, 500, MOST_CELL_MV, usual);
  }

  private static int milli(double value) {
    return (int) Math.round(value * 1000);
  }
}
