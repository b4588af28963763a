package org.cellherd;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.List;
import java.util.Optional;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.cellherd.app.config.Config;
import org.cellherd.app.config.ConfigFiles;
import org.cellherd.app.verb.RootCommand;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** README.md and the reference beside it against the program: cautions, rules, findings. */
class FrontPageTest {
  private static final String README = read(Path.of("README.md"));
  private static final String REFERENCE = read(Path.of("src", "deb", "reference.md"));
  private static final String IN_LINES = README.replaceAll("\n(> )?", " ");

  private static String read(Path file) {
    try {
      return Files.readString(file);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  @Test
  void cautionsStandBeforeTheFirstCommand() {
    String start = IN_LINES.substring(0, IN_LINES.indexOf("```"));

    assertThat(start)
        .contains("Lithium cells store enough energy to burn, and used cells have an unknown")
        .contains("Only trained people with the right protective equipment should open or build")
        .contains("follow the cell maker's sheet, local codes and licensed practice")
        .contains("it does not protect", "Do not leave a first charge alone")
        .contains("Damaged, swollen, punctured, wet or deeply discharged cells are not reused");
  }

  /** The tables are made from rules and findings; {@code -Dgolden.update=true} writes them anew. */
  @Test
  void tablesAreMadeFromRulesAndFindings() throws IOException {
    String made = ReferenceTables.in(REFERENCE);
    Path kept = Path.of("src", "deb", "reference.md");
    if (Boolean.getBoolean("golden.update")) {
      Files.writeString(kept, made);
    }

    assertThat(Files.readString(kept))
        .as("-Dgolden.update=true -Dtest=FrontPageTest writes the tables anew")
        .isEqualTo(made);
  }

  /** The least config and the announcement, as one file, beside the password it speaks of. */
  @Test
  void theExamplesAreAConfigThatIsRead(@TempDir Path folder) throws IOException {
    Path password = Files.writeString(folder.resolve("mqtt-password"), "never printed");
    Files.setPosixFilePermissions(password, PosixFilePermissions.fromString("rw-------"));
    String examples =
        Pattern.compile("```toml\n(.*?)```", Pattern.DOTALL)
            .matcher(README + REFERENCE)
            .results()
            .map(found -> found.group(1))
            .collect(Collectors.joining());

    Path file = Files.writeString(folder.resolve("cellherd.toml"), examples);

    Config config = ConfigFiles.load(Optional.of(file));

    assertThat(config.packs()).singleElement().matches(pack -> pack.plan().id().equals("crate"));
    assertThat(config.page()).isPresent();
    assertThat(config.mqtt().orElseThrow().announce()).hasSize(1);
  }

  /** Every key that is named in passing is one that the full example knows. */
  @Test
  void keysNamedInPassingStandInTheFullExample() throws IOException {
    String full = read(Path.of("src/test/resources/org/cellherd/app/config/full.good.toml"));

    for (String word :
        List.of(
            "at_risk_s",
            "keep_raw_days",
            "keep_raw_mb",
            "[pack.board]",
            "[pack.fuse]",
            "[pack.wire]",
            "[pack.cell]",
            "[[pack.history]]",
            "[[bank]]",
            "[[alert.command]]",
            "[deadman]",
            "[[mqtt.announce]]",
            "[morning]")) {
      assertThat(README + REFERENCE).contains(word);
      assertThat(full).as(word).contains(word);
    }
  }

  @Test
  void everyVerbIsInTheTable() {
    String table =
        README.lines().filter(line -> line.startsWith("| `")).collect(Collectors.joining("\n"));

    assertThat(RootCommand.commandLine().getSubcommands().keySet())
        .filteredOn(verb -> !verb.equals("help"))
        .allSatisfy(verb -> assertThat(table).contains("`" + verb + "`"));
  }

  /** No text that people read calls anything safe, neither here nor in the program. */
  @Test
  void nothingIsCalledSafe() throws IOException {
    Pattern safe = Pattern.compile("\\bsafe(ly|ty)?\\b", Pattern.CASE_INSENSITIVE);
    Pattern literal = Pattern.compile("\"(?:[^\"\\\\\n]|\\\\.)*\"");
    try (Stream<Path> files =
        Stream.of("README.md", "protocol-specs", "simulators", "src/main", "src/deb")
            .flatMap(FrontPageTest::files)) {
      files
          .filter(file -> !file.toString().endsWith(".so"))
          .forEach(
              file -> {
                String text = read(file);
                Stream<String> shown =
                    file.toString().endsWith(".java")
                        ? literal.matcher(text).results().map(MatchResult::group)
                        : Stream.of(text);
                assertThat(shown).as(file.toString()).noneMatch(s -> safe.matcher(s).find());
              });
    }
  }

  private static Stream<Path> files(String root) {
    try (Stream<Path> all = Files.walk(Path.of(root))) {
      return all.filter(Files::isRegularFile).toList().stream();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
