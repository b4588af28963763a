package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Two hours of a pack's load that comes and goes; its cells get worse between them. */
class ResistanceVerbTest {
  private static final Instant FIRST = Instant.parse("2026-03-01T10:00:00Z");
  private static final Instant SECOND = Instant.parse("2026-03-01T11:00:00Z");

  @TempDir private static Path folder;

  @BeforeAll
  static void twoHoursAreImported() throws IOException {
    Files.writeString(
        folder.resolve("plan.toml"),
        """
        [[pack]]
        id = "crate"
        chemistry = "lfp"
        series = 4
        parallel = 1
        rated_ah = 100
        """);
    List<String> lines =
        new ArrayList<>(List.of("time,current_a,cell_1_v,cell_2_v,cell_3_v,cell_4_v"));
    for (int second = 0; second < 7_200; second++) {
      double mohm = second < 3_600 ? 1 : 2;
      int amps = second % 100 < 50 ? 0 : -30;
      String cell = String.format(Locale.ROOT, ",%.3f", 3.300 + amps * mohm / 1_000);
      lines.add(FIRST.plusSeconds(second) + "," + amps + cell.repeat(4));
    }
    Files.write(folder.resolve("hours.csv"), lines);
    run("import", folder.resolve("hours.csv").toString());
  }

  @Test
  void aStretchTellsTheResistanceOfItsOwnSteps() throws JsonReader.Problem {
    assertThat(mohm("--to", SECOND.toString())).isCloseTo(1, within(0.02));
    assertThat(mohm("--from", SECOND.toString())).isCloseTo(2, within(0.02));
  }

  @Test
  void thePromisedKeysAreThere() throws JsonReader.Problem {
    JsonValue all =
        new JsonReader(JsonReader.Limits.MESSAGE)
            .read(run("resistance", "--json", "--to", "" + SECOND));

    assertThat(all.get("strap_mohm")).isPresent();
    assertThat(all.items("cells"))
        .hasSize(4)
        .allSatisfy(
            cell ->
                assertThat(((JsonValue.JsonObject) cell).members())
                    .containsKeys(
                        "cell", "mohm", "pulse_s", "events", "mad_mohm", "temp_c", "suspect"));
    assertThat(all.items("cells").get(1).number("mohm").orElse(0)).isCloseTo(1, within(0.02));
  }

  @Test
  void aStretchWithoutStepsSaysSo() {
    assertThat(run("resistance", "--from", "2026-03-02"))
        .startsWith("Nothing of that time; without --from and --to the whole log is asked.");
  }

  private static double mohm(String... more) throws JsonReader.Problem {
    List<String> args = new ArrayList<>(List.of("resistance", "--json"));
    args.addAll(Arrays.asList(more));
    return new JsonReader(JsonReader.Limits.MESSAGE)
        .read(run(args.toArray(new String[0])))
        .number("median_mohm")
        .orElseThrow();
  }

  private static String run(String... args) {
    List<String> all = new ArrayList<>(Arrays.asList(args));
    all.addAll(List.of("--plan", folder.resolve("plan.toml").toString()));
    all.addAll(List.of("--db", folder.resolve("log.db").toString()));
    return Said.whenDone(all);
  }
}
