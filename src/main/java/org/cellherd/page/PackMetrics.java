package org.cellherd.page;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.alert.Alert;
import org.cellherd.alert.Priority;
import org.cellherd.alert.news.PackState;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Reading;

/**
 * The figures of a site. What a pack that is not heard last said is left out, never repeated. One
 * use, one thread.
 */
final class PackMetrics {

  private static final double MV_PER_V = 1_000;
  private static final double TENTHS_PER_V = 10_000;
  private static final double MS_PER_S = 1_000;
  private static final double S_PER_H = 3_600;
  private static final double PCT = 100;

  private final List<Family> families = new ArrayList<>();
  private final Family info = info("cellherd_pack", "What the builder says of a pack.");
  private final Family state =
      family("cellherd_pack_state", Family.Type.STATESET, "", "Whether a pack is heard.");
  private final Family age =
      gauge("cellherd_reading_age_seconds", "seconds", "Age of the newest reading.");
  private final Family readings =
      family(
          "cellherd_readings", Family.Type.COUNTER, "", "Readings heard since the program began.");
  private final Family cell =
      gauge(
          "cellherd_cell_voltage_volts", "volts", "Voltage of a cell, from 1 at the negative end.");
  private final Family away =
      gauge("cellherd_cell_deviation_volts", "volts", "Distance of a cell from the pack's median.");
  private final Family spread =
      gauge("cellherd_cell_spread_volts", "volts", "Highest minus lowest cell.");
  private final Family voltage =
      gauge(
          "cellherd_pack_voltage_volts", "volts", "Voltage of the pack as its board measures it.");
  private final Family current =
      gauge("cellherd_pack_current_amperes", "amperes", "Current, positive while charging.");
  private final Family temperature =
      gauge("cellherd_temperature_celsius", "celsius", "Temperature by sensor.");
  private final Family boardSoc =
      gauge("cellherd_board_soc_ratio", "ratio", "State of charge by the board's own opinion.");
  private final Family soc =
      gauge("cellherd_soc_ratio", "ratio", "State of charge, its bounds and its middle.");
  private final Family balance =
      gauge("cellherd_balance_eta_seconds", "seconds", "Time until balanced, bounds and middle.");
  private final Family alerts =
      family("cellherd_alerts", Family.Type.GAUGE, "", "Active alerts, by priority.");

  private Family info(String name, String help) {
    return family(name, Family.Type.INFO, "", help);
  }

  private Family gauge(String name, String unit, String help) {
    return family(name, Family.Type.GAUGE, unit, help);
  }

  private Family family(String name, Family.Type type, String unit, String help) {
    Family family = new Family(name, type, unit, help);
    families.add(family);
    return family;
  }

  /** The text of the figures. */
  public static String text(
      Exposition form, LiveBoard board, LocalPage.Health health, int followers) {
    PackMetrics metrics = new PackMetrics();
    List<Alert> alerts = board.alerts();
    board.packs().forEach(pack -> metrics.pack(pack, alerts));
    metrics.health(health);
    metrics
        .family("cellherd_page_followers", Family.Type.GAUGE, "", "Pages that are open now.")
        .add(followers);
    return form.text(metrics.families);
  }

  private void pack(PackNow pack, List<Alert> standing) {
    String id = pack.plan().id();
    info.add(
        1,
        "pack",
        id,
        "name",
        pack.plan().name(),
        "chemistry",
        pack.plan().chemistry().word(),
        "series",
        Integer.toString(pack.plan().series()));
    for (PackState.Word word : PackState.Word.values()) {
      boolean is = pack.presence().word() == word;
      state.add(is ? 1 : 0, "pack", id, "cellherd_pack_state", word.word());
    }
    pack.ageMs().ifPresent(ms -> age.add(ms / MS_PER_S, "pack", id));
    readings.add((double) pack.readings(), "pack", id);
    for (Priority priority : Priority.values()) {
      long count =
          standing.stream()
              .filter(a -> a.key().pack().equals(id) && a.priority() == priority)
              .count();
      alerts.add((double) count, "pack", id, "priority", priority.word());
    }
    Optional<Reading> reading = pack.reading();
    if (!pack.isStale() && reading.isPresent()) {
      reading(id, reading.get());
      bounds(soc, pack.summary(), "soc_pct", 1 / PCT, id);
      bounds(balance, pack.summary(), "eta_h", S_PER_H, id);
    }
  }

  private void reading(String id, Reading reading) {
    CellVoltages cells = reading.cells();
    int median = cells.medianTenthMv().orElse(0);
    for (int n = 1; n <= cells.count(); n++) {
      if (cells.has(n)) {
        String number = Integer.toString(n);
        cell.add(cells.tenthMv(n) / TENTHS_PER_V, "pack", id, "cell", number);
        away.add((cells.tenthMv(n) - median) / TENTHS_PER_V, "pack", id, "cell", number);
      }
    }
    cells.spreadTenthMv().ifPresent(s -> spread.add(s / TENTHS_PER_V, "pack", id));
    reading.packMv().ifPresent(mv -> voltage.add(mv / MV_PER_V, "pack", id));
    reading.currentMa().ifPresent(ma -> current.add(ma / MV_PER_V, "pack", id));
    reading.socTenthPct().ifPresent(t -> boardSoc.add(t / (10 * PCT), "pack", id));
    for (int n = 1; n <= reading.temperatures().count(); n++) {
      Channel channel = Channel.temperature(n);
      String sensor = Integer.toString(n);
      reading
          .value(channel)
          .ifPresent(
              tenth ->
                  temperature.add(
                      BigDecimal.valueOf(tenth, 1).doubleValue(), "pack", id, "sensor", sensor));
    }
  }

  private static void bounds(Family family, Facts summary, String name, double scale, String id) {
    if (summary.get(name).orElse("") instanceof Facts interval) {
      for (String bound : List.of("low", "mid", "high")) {
        OptionalDouble value = interval.number(bound);
        if (value.isPresent()) {
          double rounded = Math.round(value.getAsDouble() * scale * 1e4) / 1e4;
          family.add(rounded, "pack", id, "bound", bound);
        }
      }
    }
  }

  private void health(LocalPage.Health health) {
    family("cellherd_log_writes", Family.Type.GAUGE, "", "1 while the log can be written.")
        .add(health.logTrouble().isEmpty() ? 1 : 0);
    health
        .brokerConnected()
        .ifPresent(
            connected ->
                family("cellherd_broker_connected", Family.Type.GAUGE, "", "1 with a connection.")
                    .add(connected ? 1 : 0));
    health
        .eventsWaiting()
        .ifPresent(
            waiting ->
                family(
                        "cellherd_events_waiting",
                        Family.Type.GAUGE,
                        "",
                        "Events in memory that no broker has yet.")
                    .add((double) waiting));
    health
        .diskFreeBytes()
        .ifPresent(
            free ->
                gauge("cellherd_disk_free_bytes", "bytes", "Free space where the log lies.")
                    .add((double) free));
  }
}
