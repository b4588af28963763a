package org.cellherd;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Set;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** The list of libraries that goes out with the program names what is in it. */
class ThirdPartyTest {

  private static final Pattern ROW =
      Pattern.compile(
          "(?m)^\\| [a-z.A-Z]+:([\\w.-]+)[^|]* \\| ([\\w.-]+) \\| [^|]+ \\| [^|]+ \\|$");
  private static final Pattern SHIPPED =
      Pattern.compile(
          "<dependency>\\s*<groupId>[^<]+</groupId>\\s*<artifactId>([^<]+)</artifactId>"
              + "\\s*<version>[^<]+</version>\\s*</dependency>");

  @Test
  void everyLibraryIsListedWithTheVersionThatIsUsed() throws IOException {
    Set<String> used =
        Stream.of(System.getProperty("java.class.path").split(System.getProperty("path.separator")))
            .map(entry -> Path.of(entry).getFileName().toString())
            .collect(Collectors.toSet());

    List<String> listed = ROW.matcher(list()).results().map(r -> jar(r)).toList();

    assertThat(listed).hasSizeGreaterThan(10).allMatch(used::contains);
  }

  @Test
  void everyLibraryThatIsShippedIsListed() throws IOException {
    String pom = Files.readString(Path.of("pom.xml"));
    String dependencies =
        pom.substring(pom.indexOf("</dependencyManagement>"), pom.indexOf("<build>"));
    Set<String> listed =
        ROW.matcher(list()).results().map(r -> r.group(1)).collect(Collectors.toSet());

    List<String> shipped = SHIPPED.matcher(dependencies).results().map(r -> r.group(1)).toList();

    assertThat(shipped).hasSizeGreaterThan(5).allMatch(listed::contains);
  }

  private static String jar(MatchResult row) {
    return row.group(1) + "-" + row.group(2) + ".jar";
  }

  private static String list() throws IOException {
    try (InputStream in = ThirdPartyTest.class.getResourceAsStream("/META-INF/THIRD-PARTY.md")) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
  }
}
