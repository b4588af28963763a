package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class StartScriptTest {

  @TempDir private Path folder;

  @Test
  void aGathererIsTestedAsThePackageStartsIt() throws Exception {
    Path java = folder.resolve("java");
    Files.writeString(java, "#!/bin/sh\necho \"$*\"\n");
    Files.setPosixFilePermissions(java, PosixFilePermissions.fromString("rwx------"));
    assertThat(options(java, "gather --store x")).isEqualTo(Program.GATHERER);
    assertThat(options(java, "--verbose gather")).isEqualTo(Program.GATHERER);
    assertThat(options(java, "gather --refold --store x"))
        .doesNotContain("-XX:+ExitOnOutOfMemoryError");
    assertThat(options(java, "gather --rebuild-log=f"))
        .doesNotContain("-XX:+ExitOnOutOfMemoryError");
    assertThat(options(java, "fleet --site gather")).doesNotContain("-XX:+ExitOnOutOfMemoryError");
  }

  private static List<String> options(Path java, String words) throws Exception {
    ProcessBuilder shell = new ProcessBuilder("sh", "-c", "exec sh src/deb/cellherd.sh " + words);
    shell.environment().put("CELLHERD_JAVA", java.toString());
    Process process = shell.start();
    String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    assertThat(process.waitFor()).isZero();
    // What an installed package adds is of the computer.
    return Arrays.stream(said.substring(0, said.indexOf(" -jar ")).split(" ", -1))
        .filter(word -> !word.startsWith("-D") && !word.matches(".*(Archive|Diagnostic|Xlog).*"))
        .toList();
  }
}
