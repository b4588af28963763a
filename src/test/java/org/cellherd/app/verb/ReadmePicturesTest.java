package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * The pictures of the README are what the program draws today of its own scenarios; {@code
 * -Dgolden.update=true} draws them anew.
 */
class ReadmePicturesTest {

  private static final Path PICTURES = Path.of("src", "pictures");

  @TempDir private Path folder;

  @ParameterizedTest
  @CsvSource({"first-night, report, --plot herd, ''", "capacity-test, capacity, '', --plot"})
  void theReadmeShowsWhatTheProgramDraws(String scenario, String verb, String before, String last)
      throws IOException {
    Path log = folder.resolve("log.db");
    Path drawn = folder.resolve(scenario + ".svg");
    Said.whenDone(List.of("simulate", scenario, "--log", log.toString()));
    List<String> call = new ArrayList<>(List.of(verb, "--db", log.toString()));
    call.addAll(List.of("--plan", folder.resolve("log.toml").toString()));
    List.of((before + " " + last + " " + drawn).strip().split(" +")).forEach(call::add);
    Said.whenDone(call);

    Path kept = PICTURES.resolve(scenario + ".svg");
    if (Boolean.getBoolean("golden.update")) {
      Files.createDirectories(PICTURES);
      Files.copy(drawn, kept, StandardCopyOption.REPLACE_EXISTING);
    }
    assertThat(kept).hasSameTextualContentAs(drawn);
    assertThat(Files.readString(Path.of("README.md"))).contains(kept.toString());
  }

  /** What the README quotes of the night is what the program says, to the last line. */
  @Test
  void theReadmeQuotesWhatBalanceSays() throws IOException {
    Path log = folder.resolve("log.db");
    Said.whenDone(List.of("simulate", "first-night", "--log", log.toString()));
    String plan = folder.resolve("log.toml").toString();

    String said = Said.whenDone(List.of("balance", "--db", log.toString(), "--plan", plan));

    assertThat(Files.readString(Path.of("README.md"))).contains("```\n" + said + "```\n");
  }
}
