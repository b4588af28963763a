package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import picocli.CommandLine;

/** What the package's units promise. */
class GatherUnitTest {

  private static final Path DEB = Path.of("src/deb");

  /** A site's boards, and its log, are at other places than a centre's secrets. */
  private static final Pattern OF_A_SITE =
      Pattern.compile(
          "(SupplementaryGroups|DeviceAllow|StateDirectory(Mode)?|WorkingDirectory|UMask)=.*");

  private static List<String> service(String unit) throws IOException {
    return Files.readAllLines(DEB.resolve(unit)).stream()
        .dropWhile(line -> !line.equals("[Service]"))
        .takeWhile(line -> !line.equals("[Install]"))
        .filter(line -> !line.isEmpty() && !line.startsWith("#"))
        .toList();
  }

  @Test
  void aGathererIsWalledInAsASiteIs() throws IOException {
    Stream<String> site =
        service("cellherd.service").stream()
            .filter(line -> !OF_A_SITE.matcher(line).matches())
            .filter(line -> !line.startsWith("ExecStart=") && !line.startsWith("EnvironmentFile="))
            .map(line -> line.replace(" AF_NETLINK", ""));
    assertThat(service("cellherd-gather.service"))
        .containsAll(site.toList())
        .contains("PrivateDevices=yes", "ExecStart=/usr/bin/cellherd gather $GATHER");
  }

  @Test
  void theOptionsThatThePageShowsAreOptionsOfTheVerb() throws IOException {
    Matcher shown =
        Pattern.compile("(?m)^GATHER=(.*)$").matcher(Files.readString(DEB.resolve("fleet.md")));
    assertThat(shown.find()).isTrue();
    CommandLine.ParseResult words =
        new CommandLine(new GatherVerb()).parseArgs(shown.group(1).split(" "));
    assertThat(words.matchedOptions()).hasSize(5);
    assertThat(words.unmatched()).isEmpty();
  }

  @ParameterizedTest
  @ValueSource(strings = {"cellherd.service", "cellherd-gather.service"})
  void thePackageInstallsRestartsAndStopsEachUnit(String unit) throws IOException {
    assertThat(Files.readString(Path.of("pom.xml"))).contains("/lib/systemd/system/" + unit);
    for (String file : List.of("postinst", "prerm")) {
      assertThat(Files.readString(DEB.resolve("control/" + file)).lines())
          .as(file)
          .anyMatch(line -> line.contains("systemctl") && line.contains(" " + unit));
    }
  }
}
