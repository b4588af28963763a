package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.abort;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.cellherd.Tools;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Every verb that makes a file, on a small disk of its own that is full. */
final class FullDiskVerbsTest {

  private static final String LOG = "--db ${f}/night.db --plan ${f}/night.toml ";

  /** What takes the place of a file that is there. */
  private static final List<String> OVERWRITES =
      List.of(
          "export " + LOG + "OUT.csv",
          "report " + LOG + "OUT.html",
          "report " + LOG + "OUT.txt",
          "report " + LOG + "OUT.svg",
          "report " + LOG + "OUT.png",
          "label " + LOG + "OUT.pdf",
          "label " + LOG + "OUT.svg",
          "label " + LOG + "OUT.png",
          "setpoints " + LOG + "OUT.pdf",
          "setpoints " + LOG + "OUT.html",
          "capacity " + LOG + "--plot OUT.svg",
          "compare ${f}/night.db --plan ${f}/night.toml --plot OUT.svg",
          "compare ${f}/night.db --plan ${f}/night.toml --html OUT.html",
          "match ${f}/cells.csv --series 2 --parallel 1 --picture OUT.svg");

  /** What refuses a file that is there. */
  private static final List<String> NEW_FILES =
      List.of(
          "backup --db ${f}/night.db OUT.db",
          "simulate first-night --log OUT.db",
          "match ${f}/cells.csv --series 2 --parallel 1 --plan-out OUT.toml");

  @TempDir private Path folder;
  private Path disk;

  @BeforeEach
  void mountATinyDisk() throws Exception {
    Tools.require("mount");
    disk = Files.createDirectory(folder.resolve("disk"));
    if (run("mount", "-t", "tmpfs", "-o", "size=64k,nr_inodes=64", "tmpfs", disk.toString()) != 0) {
      System.out.println("skipped: no right to mount a small file system");
      abort("no right to mount a small file system");
    }
    Said.whenDone(
        List.of("simulate", "capacity-test", "--log", folder.resolve("night.db").toString()));
    StringBuilder cells =
        new StringBuilder(
            "id,donor,chemistry,rated_ah,parallel,rest_1_v,res_1_mohm,cap_1_ah,damage\n");
    for (int i = 1; i <= 8; i++) {
      cells.append("a" + i + ",red,lfp,9,2,3.30,3." + i + ",8." + i + ",\n");
    }
    Files.writeString(folder.resolve("cells.csv"), cells);
  }

  @AfterEach
  void unmount() throws Exception {
    run("umount", "-l", disk.toString());
  }

  @Test
  void aFullDiskIsNamedAndLeavesNoHalfOfAFile() throws Exception {
    fill();
    List<String> all = new ArrayList<>(OVERWRITES);
    all.addAll(NEW_FILES);

    for (String line : all) {
      fails(line, "new");

      assertThat(filesOfDisk()).as(line).containsExactly("ballast");
    }
  }

  @Test
  void whatIsThereIsKeptWhereNothingNewFits() throws Exception {
    int number = 0;
    for (String line : OVERWRITES) {
      String old = "what was there before " + line;
      Files.writeString(there(line, "old" + number++), old, StandardCharsets.UTF_8);
    }
    fill();

    number = 0;
    for (String line : OVERWRITES) {
      fails(line, "old" + number);

      assertThat(there(line, "old" + number++))
          .as(line)
          .hasContent("what was there before " + line);
    }
    assertThat(filesOfDisk()).hasSize(OVERWRITES.size() + 1);
  }

  private void fails(String line, String name) {
    Path out = there(line, name);
    List<String> words =
        List.of(line.replaceAll("OUT\\.\\w+", out.toString()).split(" ")).stream()
            .map(word -> word.replace("${f}", folder.toString()))
            .toList();

    Said said = Said.by(words.toArray(new String[0]));

    assertThat(said.code()).as("%s: %s", line, said.err()).isIn(2, 4);
    assertThat(said.err())
        .as(line)
        .contains(out.getFileName().toString())
        .containsPattern("No space left|the disk is full")
        .doesNotContain("java.", "night.db: ", "written: " + out, "at org.");
  }

  private Path there(String line, String name) {
    return disk.resolve(name + line.replaceAll(".*OUT(\\.\\w+).*", "$1"));
  }

  private List<String> filesOfDisk() throws IOException {
    try (Stream<Path> files = Files.list(disk)) {
      return files.map(file -> file.getFileName().toString()).toList();
    }
  }

  private void fill() throws IOException {
    try (OutputStream out = Files.newOutputStream(disk.resolve("ballast"))) {
      while (true) {
        out.write(new byte[512]);
      }
    } catch (IOException full) {
      assertThat(full).hasMessageContaining("No space");
    }
  }

  private static int run(String... command) throws IOException, InterruptedException {
    return new ProcessBuilder(command).redirectErrorStream(true).inheritIO().start().waitFor();
  }
}
