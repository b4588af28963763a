package org.cellherd.sim;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.PackPlan.SensorRole;
import org.cellherd.toml.TomlTable;

/** {@code [pack.board]}: the board's measuring, bleeding, tripping and sleeping. */
final class BoardSection {

  private static final double MOST_MV = 6000;

  private BoardSection() {}

  static BoardTraits read(TomlTable pack, int series, double ratedAh) {
    TomlTable t = pack.tableOrEmpty("board");
    return new BoardTraits(
        meter(t),
        t.tableIfAny("bleed").map(BoardSection::bleed).orElse(BleedTraits.NONE),
        t.tableIfAny("trip").map(BoardSection::trip).orElse(TripTraits.NONE),
        t.tableIfAny("sleep").map(BoardSection::sleep).orElse(SleepTraits.NEVER),
        soc(t, ratedAh),
        sensors(t, series),
        t.decimal("temperature_step_c", 0.1, 10, 1),
        t.decimal("temperature_noise_c", 0, 5, 0.1),
        t.decimal("own_ma", 0, 1000, 2) / 1000);
  }

  private static MeterTraits meter(TomlTable t) {
    return new MeterTraits(
        t.decimal("cell_step_mv", 0.1, 100, 1),
        t.decimal("cell_noise_mv", 0, 100, 0.4),
        t.decimal("cell_offset_mv", 0, 100, 0.8),
        t.decimal("pack_step_mv", 1, 1000, 10),
        t.decimal("pack_offset_mv", -5000, 5000, 0),
        t.decimal("current_step_ma", 1, 10_000, 10),
        t.decimal("current_noise_ma", 0, 10_000, 15),
        t.decimal("current_offset_ma", -10_000, 10_000, 0),
        t.decimal("current_gain", 0.1, 10, 1),
        t.decimal("current_filter_s", 0, 600, 0),
        t.decimal("zero_below_ma", 0, 10_000, 100),
        t.bool("inverted_sign", false),
        t.integer("reported_cells", 0, 64, 0));
  }

  private static BleedTraits bleed(TomlTable t) {
    return new BleedTraits(
        t.decimal("ma", 0, 20_000, 100) / 1000,
        t.decimal("from_mv", 0, MOST_MV, 3400) / 1000,
        t.decimal("delta_mv", 0, 1000, 8) / 1000,
        t.oneOf("when", BleedTraits.When.class, BleedTraits.When.ALWAYS),
        t.decimal("charging_ma", 0, 100_000, 50) / 1000,
        t.decimal("alternate_s", 0, 3600, 0),
        t.bool("flag", true),
        t.bool("in_plan", true));
  }

  private static TripTraits trip(TomlTable t) {
    double high = t.decimal("high_mv", 0, MOST_MV, 3650) / 1000;
    double low = t.decimal("low_mv", 0, MOST_MV, 2500) / 1000;
    TripTraits none = TripTraits.NONE;
    return new TripTraits(
        high,
        t.decimal("high_release_mv", 0, MOST_MV, high * 1000 - 100) / 1000,
        low,
        t.decimal("low_release_mv", 0, MOST_MV, low * 1000 + 300) / 1000,
        t.decimal("delay_s", 0, 600, 2),
        t.decimal("cold_c", -60, 60, none.coldC()),
        t.decimal("hot_c", -60, 150, none.hotC()),
        t.decimal("over_a", 0.1, 100_000, none.amperes()));
  }

  private static SleepTraits sleep(TomlTable t) {
    return new SleepTraits(
        t.decimal("after_h", 0, 10_000, 24) * 3600, t.decimal("wake_ma", 0, 100_000, 300) / 1000);
  }

  private static SocOpinion.Traits soc(TomlTable t, double ratedAh) {
    return new SocOpinion.Traits(
        t.bool("tells_soc", true),
        t.decimal("capacity_ah", 0.01, 100_000, ratedAh),
        t.decimal("start_soc_pct", 0, 100, 50));
  }

  private static List<SensorTraits> sensors(TomlTable t, int series) {
    List<SensorTraits> sensors = new ArrayList<>();
    for (TomlTable one : t.tables("sensor")) {
      sensors.add(
          new SensorTraits(
              one.oneOf("role", SensorRole.class),
              one.integer("cell", 1, series, 1),
              one.decimal("offset_c", -50, 50, 0)));
    }
    if (!t.has("sensor")) {
      sensors.add(new SensorTraits(SensorRole.CELL, 1, 0));
      sensors.add(new SensorTraits(SensorRole.CELL, series, 0));
      sensors.add(new SensorTraits(SensorRole.SWITCH, 1, 0));
    }
    return sensors;
  }
}
