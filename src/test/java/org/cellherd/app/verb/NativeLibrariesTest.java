package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.Map;
import org.cellherd.app.daemon.Program;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.sqlite.SQLiteJDBCLoader;

class NativeLibrariesTest {

  /**
   * Programs of one user begin at once, and each clears away the library of an earlier version or
   * run: who comes second finds nothing to delete. Here it is a folder that cannot be deleted.
   */
  @Test
  void anOldLibraryThatCannotBeClearedAwayIsNoConcernOfTheUsers(@TempDir Path home)
      throws Exception {
    Path old = NativeLibraries.ownFolder(home).resolve("sqlite-" + SQLiteJDBCLoader.getVersion());
    Files.createFile(Files.createDirectory(old).resolve("kept"));
    Path log = home.resolve("log.db");
    LogFile.open(log, OpenMode.WRITER).close();

    Program.Ended ended =
        Program.run(
            home,
            Map.of("JAVA_TOOL_OPTIONS", "-Duser.home=" + home),
            "backup",
            "--db",
            log.toString(),
            home.resolve("copy.db").toString());

    assertThat(ended.code()).as(ended.text()).isZero();
    assertThat(old).isDirectory();
    assertThat(ended.text()).doesNotContain("Exception", "\tat ");
  }

  @Test
  void librariesOfAPlainJarLieWhereNobodyElseCanPutOne(@TempDir Path home) throws IOException {
    Path first = NativeLibraries.ownFolder(home);
    Path again = NativeLibraries.ownFolder(home);

    assertThat(again).isEqualTo(first).startsWith(home);
    assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(first)))
        .isEqualTo("rwx------");
  }
}
