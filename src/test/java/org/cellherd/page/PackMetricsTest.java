package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import org.cellherd.Tools;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.alert.news.PackState;
import org.cellherd.alert.news.PackSummary;
import org.cellherd.alert.rule.Hot;
import org.cellherd.analysis.Interval;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.pack.Temperatures;
import org.junit.jupiter.api.Test;

final class PackMetricsTest {

  private static final long NOON = 1_772_625_600_000L;
  private static final String NAME = "the \"old\" one \\ by the\nwindow <b>";
  private static final Path PYTHON = Path.of("/usr/bin/python3");

  private final SimulatedTime time = new SimulatedTime(NOON);
  private final LiveBoard board = new LiveBoard(List.of(pack("crate"), pack("shed")), time);

  private static PagePack pack(String id) {
    return PagePack.polledEvery(
        PackPlan.builder(id, Chemistry.LFP, 2, 1, 100_000).name(NAME).build(), 1_000);
  }

  PackMetricsTest() {
    board.reading(
        "crate",
        Reading.at(NOON)
            .cells(CellVoltages.ofTenthMv(33_310, 33_405))
            .temperatures(Temperatures.ofTenthC(-5, 214))
            .currentMa(-12_500)
            .packMv(6_671)
            .socTenthPct(873)
            .build());
    board.state("crate", new PackState(PackState.Word.LIVE, NOON, ""));
    board.state("shed", new PackState(PackState.Word.SILENT, NOON, "no answer"));
    board.remember("shed", Reading.at(NOON - 60_000).packMv(6_500).build());
    board.summary(
        "crate",
        new PackSummary(
            NOON,
            "",
            Optional.empty(),
            0,
            OptionalDouble.empty(),
            Optional.of(new Interval(70, 82.5, 90)),
            Optional.empty(),
            OptionalDouble.empty(),
            Optional.empty()));
    board.event(new AlertEvent("e", AlertEvent.Change.RAISED, alert()));
  }

  private static Alert alert() {
    return new Alert(
        "a",
        new AlertKey("crate", Hot.ID, 0),
        AlertState.ACTIVE,
        Priority.WARNING,
        NOON,
        NOON,
        45,
        40,
        "degC",
        "hot",
        "",
        Facts.NONE,
        Optional.empty(),
        true);
  }

  private String text(Exposition form) {
    LocalPage.Health health =
        new LocalPage.Health("", Optional.of(true), OptionalLong.of(0), OptionalLong.of(1L << 33));
    return PackMetrics.text(form, board, health, 1);
  }

  private OpenMetricsText.Group family(String name) {
    return Objects.requireNonNull(
        OpenMetricsText.read(text(Exposition.OPEN_METRICS)).get(name), name);
  }

  private double value(String family, String... labels) {
    OpenMetricsText.Group group = family(family);
    for (OpenMetricsText.Read sample : group.samples) {
      boolean fits = true;
      for (int i = 0; i < labels.length; i += 2) {
        fits &= labels[i + 1].equals(sample.labels().get(labels[i]));
      }
      if (fits) {
        return sample.value();
      }
    }
    throw new AssertionError("no sample of " + family + " " + List.of(labels));
  }

  @Test
  void everyFamilyKeepsTheRulesAndItsUnit() {
    Map<String, OpenMetricsText.Group> families =
        OpenMetricsText.read(text(Exposition.OPEN_METRICS));

    assertThat(families).hasSizeGreaterThan(14);
    assertThat(families.values()).allSatisfy(f -> assertThat(f.help).as(f.name).endsWith("."));
    assertThat(family("cellherd_cell_voltage_volts").unit).isEqualTo("volts");
    assertThat(family("cellherd_soc_ratio").unit).isEqualTo("ratio");
    assertThat(family("cellherd_readings").type).isEqualTo("counter");
    assertThat(family("cellherd_pack_state").type).isEqualTo("stateset");
    assertThat(family("cellherd_pack").type).isEqualTo("info");
  }

  @Test
  void numbersAreInBaseUnitsWithTheSignOfTheReading() {
    assertThat(value("cellherd_pack_current_amperes", "pack", "crate")).isEqualTo(-12.5);
    assertThat(value("cellherd_cell_voltage_volts", "pack", "crate", "cell", "2"))
        .isEqualTo(3.3405);
    assertThat(value("cellherd_cell_spread_volts", "pack", "crate")).isEqualTo(0.0095);
    assertThat(value("cellherd_temperature_celsius", "sensor", "1")).isEqualTo(-0.5);
    assertThat(value("cellherd_board_soc_ratio", "pack", "crate")).isEqualTo(0.873);
    assertThat(value("cellherd_soc_ratio", "bound", "mid")).isEqualTo(0.825);
    assertThat(value("cellherd_alerts", "pack", "crate", "priority", "warning")).isEqualTo(1);
    assertThat(value("cellherd_readings", "pack", "crate")).isEqualTo(1);
    assertThat(value("cellherd_disk_free_bytes")).isEqualTo(8589934592.0);
  }

  @Test
  void namesFromPeopleComeBackUnchanged() {
    OpenMetricsText.Group info = family("cellherd_pack");

    assertThat(info.samples.get(0).labels()).containsEntry("name", NAME);
  }

  @Test
  void whatASilentPackLastSaidIsLeftOut() {
    String text = text(Exposition.OPEN_METRICS);

    assertThat(text).doesNotContain("volts{pack=\"shed\"");
    assertThat(value("cellherd_pack_state", "pack", "shed", "cellherd_pack_state", "silent"))
        .isEqualTo(1);
    time.advanceMs(60_000);
    assertThat(text(Exposition.OPEN_METRICS)).doesNotContain("volts{pack=\"crate\"");
    assertThat(value("cellherd_reading_age_seconds", "pack", "crate")).isEqualTo(60);
  }

  @Test
  void theOlderFormNamesSamplesAndHasNoEnd() {
    String text = text(Exposition.PLAIN);

    assertThat(text)
        .contains("# TYPE cellherd_readings_total counter\n")
        .contains("# TYPE cellherd_pack_info gauge\n")
        .doesNotContain("# UNIT")
        .doesNotContain("# EOF");
  }

  /** Debian's python3-prometheus-client, which knows nothing of us. */
  @Test
  void anIndependentParserReadsBothForms() throws IOException, InterruptedException {
    Tools.requirePythonModule(PYTHON, "prometheus_client");

    assertThat(parsed("openmetrics.parser", Exposition.OPEN_METRICS))
        .contains("cellherd_cell_voltage_volts gauge volts")
        .contains("cellherd_readings counter")
        .contains("cellherd_pack_state stateset")
        .contains("cellherd_pack info");
    assertThat(parsed("parser", Exposition.PLAIN))
        .contains("cellherd_cell_voltage_volts gauge")
        .contains("cellherd_readings counter");
  }

  private String parsed(String module, Exposition form) throws IOException, InterruptedException {
    String script =
        "import sys\nfrom prometheus_client."
            + module
            + " import text_string_to_metric_families as f\n"
            + "for m in f(sys.stdin.buffer.read().decode('utf-8')):\n"
            + "    print(m.name, m.type, m.unit, len(m.samples))\n";
    Process process = new ProcessBuilder(PYTHON.toString(), "-c", script).start();
    try (var in = process.getOutputStream()) {
      in.write(text(form).getBytes(StandardCharsets.UTF_8));
    }
    String out = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    String error = new String(process.getErrorStream().readAllBytes(), StandardCharsets.UTF_8);
    assertThat(process.waitFor()).as(error).isZero();
    return out;
  }
}
