package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.stream.Stream;
import org.cellherd.app.ExitCode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A run that a mistake in the config forbids leaves nothing behind that looks like a log. */
class DoomedStartTest {

  @TempDir private Path folder;

  private static String pack(String id, String spec, String link) {
    return """
        [[pack]]
        id = "%s"
        chemistry = "lfp"
        series = 4
        parallel = 6
        rated_ah = 27
        [pack.line]
        spec = "%s"
        link = "%s"
        """
        .formatted(id, spec, link);
  }

  @ParameterizedTest
  @Timeout(value = 60, threadMode = Timeout.ThreadMode.SEPARATE_THREAD)
  @CsvSource({
    "sorel-16, tcp:127.0.0.1:9, sorrel-16, tcp:127.0.0.1:8, there is no board description",
    "own.toml, tcp:127.0.0.1:9, sorrel-16, tcp:127.0.0.1:8, own.toml",
    "sorrel-16, tcp:127.0.0.1:9, sorrel-16, tcp:127.0.0.1:9, packs a and b name the same board",
    "sorrel-16, tcp:127.0.0.1:9, tansy-4, tcp:127.0.0.1:9, share a line but not its settings",
    "sorrel-16, tcp:127.0.0.1:9, sorrel-16, modbus-tcp:127.0.0.1:9, link modbus-tcp:127.0.0.1:9",
  })
  void leavesNoLog(String spec, String link, String otherSpec, String otherLink, String cause)
      throws IOException {
    Path file = folder.resolve("cellherd.toml");
    String packs = pack("a", spec, link) + pack("b", otherSpec, otherLink);
    Files.writeString(file, "[store]\nfile = \"log.db\"\n" + packs);

    Said said = Said.by("run", "--config", file.toString());

    assertThat(said.code()).isEqualTo(ExitCode.USAGE);
    assertThat(said.err()).contains(cause);
    try (Stream<Path> left = Files.list(folder)) {
      assertThat(left).containsExactly(file);
    }
  }

  @Test
  void anUnknownDescriptionIsToldWithTheOtherMistakes() throws IOException {
    Path file = folder.resolve("cellherd.toml");
    String packs = pack("a", "sorel-16", "tcp:127.0.0.1:9") + pack("b", "tansi-4", "tcp:none:9");
    Files.writeString(file, packs.replaceFirst("series = 4", "series = 0"));

    Said said = Said.by("run", "--config", file.toString());

    assertThat(said.code()).isEqualTo(ExitCode.USAGE);
    assertThat(said.err())
        .contains("there is no board description \"sorel-16\", did you mean sorrel-16?")
        .contains("there is no board description \"tansi-4\"")
        .contains("pack[1].series");
  }
}
