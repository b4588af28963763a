package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class NativeLibrariesTest {

  @Test
  void librariesOfAPlainJarLieWhereNobodyElseCanPutOne(@TempDir Path home) throws IOException {
    Path first = NativeLibraries.ownFolder(home);
    Path again = NativeLibraries.ownFolder(home);

    assertThat(again).isEqualTo(first).startsWith(home);
    assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(first)))
        .isEqualTo("rwx------");
  }
}
