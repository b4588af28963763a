package org.cellherd.page;

import java.math.BigDecimal;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.cellherd.alert.news.PackState;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SilenceWords;
import org.cellherd.pack.SpokenTime;
import org.cellherd.report.plot.LimitLine;

/** A pack's news as facts for the page. Immutable. */
final class PackFacts {

  private final ZoneId zone;

  PackFacts(ZoneId zone) {
    this.zone = zone;
  }

  /** What a list of packs shows. */
  Facts brief(PackNow pack, long nowMs) {
    return Facts.of()
        .put("id", pack.plan().id())
        .put("name", pack.plan().name())
        .put("series", pack.plan().series())
        .put("band_mv", pack.pack().band().spreadMv(), 1)
        .put("state", pack.presence().word().word())
        .put("stale", pack.isStale())
        .put("headline", headline(pack, nowMs))
        .put("before", pack.isStale() ? pack.liveSentence() : "")
        .putAll(numbers(pack))
        .putAll(boardCharge(pack))
        .build();
  }

  /** The board's own state of charge is an opinion beside ours and has another name. */
  private static Facts boardCharge(PackNow pack) {
    Facts.Builder b = Facts.of();
    pack.reading()
        .map(reading -> reading.value(Channel.of(Channel.Kind.SOC)))
        .filter(OptionalLong::isPresent)
        .ifPresent(value -> b.put("board_soc_pct", value.getAsLong() / 10.0, 1));
    return b.build();
  }

  private static Facts numbers(PackNow pack) {
    Facts.Builder b = Facts.of();
    pack.reading().ifPresent(r -> b.putTime("heard", r.timeMs()));
    pack.summary().list().stream()
        .filter(fact -> !fact.name().equals("sentence") && !fact.name().equals("time"))
        .forEach(fact -> b.putAll(new Facts(List.of(fact))));
    return b.build();
  }

  /** With its newest reading. */
  Facts full(PackNow pack, long nowMs) {
    Facts.Builder b = Facts.of().putAll(brief(pack, nowMs));
    Optional<Reading> reading = pack.reading();
    if (reading.isEmpty()) {
      return b.build();
    }
    CellVoltages cells = reading.get().cells();
    List<Facts> list = new ArrayList<>();
    long bleeding = reading.get().bleedMask().orElse(0);
    int median = cells.medianTenthMv().orElse(0);
    for (int cell = 1; cell <= cells.count(); cell++) {
      Facts.Builder one = Facts.of().put("cell", cell);
      if (cells.has(cell)) {
        one.put("tenth_mv", cells.tenthMv(cell)).put("away", cells.tenthMv(cell) - median);
      }
      String units = pack.plan().unitsOf(cell, nowMs);
      if (!units.isEmpty()) {
        one.put("units", units);
      }
      list.add(one.put("bleeds", (bleeding >> (cell - 1) & 1) != 0).build());
    }
    b.put("cells", list);
    b.put("band", pack.pack().band().words());
    for (Channel.Kind kind : List.of(Channel.Kind.CURRENT, Channel.Kind.PACK_VOLTAGE)) {
      scaled(b, reading.get(), Channel.of(kind));
    }
    b.put("sensors", sensors(pack.plan(), reading.get()));
    b.put("limits", limits(pack.plan()));
    b.put("charge_switch", reading.get().chargeSwitch());
    return b.put("discharge_switch", reading.get().dischargeSwitch()).build();
  }

  private static List<Facts> sensors(PackPlan plan, Reading reading) {
    List<Facts> list = new ArrayList<>();
    int count = reading.temperatures().count();
    for (int sensor = 1; sensor <= count; sensor++) {
      OptionalLong tenth = reading.value(Channel.temperature(sensor));
      if (tenth.isPresent() && plan.role(sensor) != PackPlan.SensorRole.UNUSED) {
        list.add(
            Facts.of()
                .put("name", plan.sensorName(sensor, count))
                .put("c", tenth.getAsLong() / 10.0, 1)
                .build());
      }
    }
    return list;
  }

  private static List<Facts> limits(PackPlan plan) {
    return LimitLine.of(plan).stream()
        .filter(limit -> limit.kind() == Channel.Kind.CELL)
        .map(limit -> Facts.of().put("name", limit.name()).put("v", limit.value(), 3).build())
        .toList();
  }

  private static void scaled(Facts.Builder b, Reading reading, Channel channel) {
    int decimals = channel.kind().decimals();
    String name = channel.columnName();
    reading
        .value(channel)
        .ifPresent(v -> b.put(name, BigDecimal.valueOf(v, decimals).doubleValue(), decimals));
  }

  /** What is so now, in a sentence; never an old sentence as if it were new. */
  String headline(PackNow pack, long nowMs) {
    if (!pack.isStale()) {
      return pack.summary().text("sentence").orElse("Listening.");
    }
    String why = SilenceWords.ofWord(pack.presence().cause());
    String until =
        pack.reading().isEmpty()
            ? "Not heard yet"
            : "Not heard since " + SpokenTime.near(pack.reading().get().timeMs(), nowMs, zone);
    if (pack.presence().word() == PackState.Word.ASLEEP) {
      return until + ", asleep: " + SilenceWords.ASLEEP + ".";
    }
    return until + (why.isEmpty() ? "." : ": " + why + ".");
  }
}
