package org.cellherd.sim;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.cellherd.toml.TomlTable;
import org.jspecify.annotations.Nullable;

/** {@code [charger] [sun] [[load]] [ambient]}: what surrounds the packs. */
final class SupplySection {

  private static final double MOST_A = 10_000;
  private static final double HOUR_MS = 3_600_000;

  private final double utcOffsetH;
  private final Optional<Charger.Traits> charger;
  private final Optional<Sun.Traits> sun;
  private final List<Load.Traits> loads = new ArrayList<>();
  private final Ambient.Traits ambient;

  private SupplySection(TomlTable top, long startMs, double utcOffsetH) {
    this.utcOffsetH = utcOffsetH;
    this.charger = top.tableIfAny("charger").map(SupplySection::charger);
    this.sun = top.tableIfAny("sun").map(SupplySection::sun);
    for (TomlTable load : top.tables("load")) {
      loads.add(load(load, startMs));
    }
    TomlTable air = top.tableOrEmpty("ambient");
    this.ambient =
        new Ambient.Traits(
            air.decimal("mean_c", -60, 80, 20),
            air.decimal("daily_c", 0, 40, 0),
            air.decimal("season_c", 0, 40, 0),
            air.decimal("weather_c", 0, 40, 0));
    if (sun.isPresent() && charger.isEmpty()) {
      top.problem("sun", "the sun needs a [charger] that it feeds");
    }
  }

  static SupplySection read(TomlTable top, long startMs, double utcOffsetH) {
    return new SupplySection(top, startMs, utcOffsetH);
  }

  private static Charger.Traits charger(TomlTable t) {
    double hold = t.decimal("hold_mv", 100, 2_000_000) / 1000;
    double absorbH = t.decimal("absorb_h", 0, 10_000, Double.POSITIVE_INFINITY);
    return new Charger.Traits(
        t.decimal("amperes", 0.001, MOST_A),
        hold,
        t.decimal("tail_a", 0, MOST_A, 0),
        absorbH * 3600,
        t.decimal("float_mv", 0, 2_000_000, 0) / 1000,
        t.decimal("rebulk_mv", 0, 2_000_000, 0) / 1000,
        t.decimal("from_h", 0, 24, 0),
        t.decimal("to_h", 0, 24, 0));
  }

  private static Sun.Traits sun(TomlTable t) {
    return new Sun.Traits(
        t.decimal("peak_w", 0, 1e6),
        t.decimal("latitude_deg", -66, 66, 48),
        t.decimal("cloudiness", 0, 1, 0.4));
  }

  private static Load.Traits load(TomlTable t, long startMs) {
    t.allow("name");
    double atH = t.decimal("at_h", 0, 100_000, 0);
    double forH = t.decimal("for_h", 0, 100_000, Double.POSITIVE_INFINITY);
    double last = startMs + (atH + forH) * HOUR_MS;
    return new Load.Traits(
        t.decimal("watts", 0, 1e6, 0),
        t.decimal("amperes", 0, MOST_A, 0),
        t.decimal("from_h", 0, 24, 0),
        t.decimal("to_h", 0, 24, 0),
        t.decimal("period_s", 0, 1e6, 0),
        t.decimal("on_s", 0, 1e6, 0),
        t.decimal("jitter", 0, 1, 0),
        startMs + Math.round(atH * HOUR_MS),
        Double.isInfinite(last) ? Long.MAX_VALUE : Math.round(last));
  }

  @Nullable Charger buildCharger(Chance chance) {
    Sun feeding = sun.map(traits -> new Sun(traits, utcOffsetH, chance.of("sun"))).orElse(null);
    return charger.map(traits -> new Charger(traits, utcOffsetH, feeding)).orElse(null);
  }

  List<Load> buildLoads(Chance chance) {
    List<Load> built = new ArrayList<>();
    for (int i = 0; i < loads.size(); i++) {
      built.add(new Load(loads.get(i), utcOffsetH, chance.of("load" + i)));
    }
    return built;
  }

  Ambient buildAmbient(Chance chance) {
    return new Ambient(ambient, utcOffsetH, chance.of("ambient"));
  }

  /** Voltage of the charger, mV. */
  OptionalInt chargeMv() {
    return charger
        .map(t -> OptionalInt.of((int) Math.round(t.holdV() * 1000)))
        .orElse(OptionalInt.empty());
  }

  /** Greatest current of the charger, mA. */
  OptionalInt chargerMa() {
    return charger
        .map(t -> OptionalInt.of((int) Math.round(t.amperes() * 1000)))
        .orElse(OptionalInt.empty());
  }
}
