package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

final class ReportsFolderTest {

  @TempDir private Path folder;

  private void write(String name, long at) throws IOException {
    Files.writeString(folder.resolve(name), name);
    Files.setLastModifiedTime(folder.resolve(name), FileTime.fromMillis(at));
  }

  @Test
  void reportsAreListedNewestFirstAndNothingElseIs() throws IOException {
    write("old.html", 1_000_000);
    write("new night.pdf", 2_000_000);
    write("notes.toml", 3_000_000);
    Files.createDirectory(folder.resolve("folder.html"));
    Path secret = Files.writeString(folder.resolve("secret"), "s");
    Files.createSymbolicLink(folder.resolve("link.html"), secret);

    assertThat(new ReportsFolder(folder).list())
        .extracting(ReportsFolder.Entry::name)
        .containsExactly("new night.pdf", "old.html");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"../up.html", "link.html", "absent.html", "", ".", "/etc/passwd", "a\0.html"})
  void onlyListedNamesAreRead(String name) throws IOException {
    write("a.html", 1_000_000);
    Files.createSymbolicLink(folder.resolve("link.html"), folder.resolve("a.html"));

    assertThat(new ReportsFolder(folder).read(name)).isEmpty();
    assertThat(new ReportsFolder(folder).read("a.html")).isPresent();
  }

  @Test
  void aFolderThatIsNotThereYetIsEmpty() {
    assertThat(new ReportsFolder(folder.resolve("later")).list()).isEmpty();
  }
}
