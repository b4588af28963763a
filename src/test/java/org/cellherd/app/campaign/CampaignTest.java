package org.cellherd.app.campaign;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** A few hours of the campaign; {@link Campaign} runs days of it, and the real program. */
class CampaignTest {

  @TempDir private Path folder;

  @ParameterizedTest
  @ValueSource(longs = {1, 5})
  void hoursOfFaultsOfEveryFamilyBalance(long seed) throws Exception {
    CampaignOutcome outcome = new SimulatedCampaign(folder, seed, Set.of()).run(2);

    assertThat(outcome.faults()).as(text(outcome)).isEmpty();
  }

  @Test
  void theSameSeedGivesTheSameBooks() throws Exception {
    String first =
        text(new SimulatedCampaign(Files.createDirectory(folder.resolve("1")), 3, Set.of()).run(1));
    String second =
        text(new SimulatedCampaign(Files.createDirectory(folder.resolve("2")), 3, Set.of()).run(1));

    assertThat(second).isEqualTo(first);
  }

  private static String text(CampaignOutcome outcome) {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    outcome.print(new PrintStream(bytes, true, StandardCharsets.UTF_8));
    // How often a broker is told again goes by its own, real time.
    return bytes.toString(StandardCharsets.UTF_8).replaceAll(", \\d+ of them more than once", "");
  }
}
