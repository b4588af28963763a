package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.abort;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.stream.Stream;
import org.cellherd.Tools;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.Decoders;
import org.cellherd.fleet.HeldLog;
import org.cellherd.fleet.TestCentre;
import org.cellherd.sim.Scenarios;
import org.cellherd.sim.TcpBoardServer;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Every verb that makes a file, on a small disk of its own that is full. */
final class FullDiskVerbsTest {

  /** What refuses a file that is there. */
  private static final List<String> NEW_FILES =
      List.of(
          "backup --db ${f}/night.db OUT.db",
          "simulate first-night --log OUT.db",
          "match ${f}/cells.csv --series 2 --parallel 1 --plan-out OUT.toml",
          "setup --link ${board} --spec sorrel-16 --out OUT.toml",
          "frames ${f}/board.jsonl --draft OUT.toml",
          "pile --db ${f}/night.db --plan ${f}/rig.toml --out OUT.csv",
          "gather --store ${centre} --site hill --rebuild-log OUT.db");

  /** What {@code setup} is answered: name, id, chemistry, cells, parallel, Ah, volts, site. */
  private static final String ANSWERS = "Crate\n\nlfp\n\n6\n27\n\n\n";

  private static final InputStream USUAL = System.in;

  @TempDir private static Path folder;
  private static Path disk;
  private static String centre;
  private static TcpBoardServer board;
  private static Thread serving;

  @BeforeAll
  static void mountATinyDisk() throws Exception {
    board = board();
    serving = new Thread(FullDiskVerbsTest::serve, "simulated-board");
    serving.start();
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
    Files.writeString(
        folder.resolve("rig.toml"),
        Files.readString(folder.resolve("night.toml"))
            .replaceFirst(
                "(?m)^parallel = ", "cells = [[\"a1\"], [\"a2\"], [\"a3\"], [\"a4\"]]\n$0"));
    Files.writeString(folder.resolve("board.jsonl"), talk());
    centre = centreOfTheNight();
  }

  /** A board to be set up. */
  private static TcpBoardServer board() throws Exception {
    SystemTime time = new SystemTime();
    Decoders decoders = new Decoders(folder.resolve("cellherd.toml"));
    Played night = Played.scenario(Scenarios.open("first-night"), decoders, time, 1);
    return new TcpBoardServer(night.wire(), time, 0, false);
  }

  private static void serve() {
    try {
      board.serve(() -> true);
    } catch (InterruptedException ended) {
      Thread.currentThread().interrupt();
    }
  }

  /** A capture of a board that nobody described. */
  private static String talk() {
    StringBuilder lines = new StringBuilder();
    for (int n = 0; n < 40; n++) {
      byte[] message = new byte[12];
      message[0] = (byte) 0xC3;
      message[1] = 0x18;
      for (int cell = 0; cell < 4; cell++) {
        int mv = 3290 + 5 * cell + n * (cell + 3) % 7;
        message[2 + 2 * cell] = (byte) (mv >> 8);
        message[3 + 2 * cell] = (byte) mv;
      }
      message[10] = (byte) n;
      for (int i = 0; i < 11; i++) {
        message[11] += message[i];
      }
      lines.append("{\"at_ms\":").append(1_700_000_000_000L + 1000L * n);
      lines.append(",\"dir\":\"rx\",\"hex\":\"").append(HexFormat.of().formatHex(message));
      lines.append("\"}\n");
    }
    return lines.toString();
  }

  private static String centreOfTheNight() throws Exception {
    TestCentre held = TestCentre.fresh();
    try (LogFile log = LogFile.open(folder.resolve("night.db"), OpenMode.WRITER)) {
      HeldLog.hold(held, "hill", log, Map.of(), parcel -> true);
    }
    return held.url("postgres");
  }

  @BeforeEach
  void emptyTheDisk() throws Exception {
    empty();
    resize("64k");
  }

  @AfterAll
  static void unmount() throws Exception {
    System.setIn(USUAL);
    run("umount", "-l", folder.resolve("disk").toString());
    board.close();
    serving.join();
  }

  @Test
  void aFullDiskIsNamedAndLeavesNoHalfOfAFile() throws Exception {
    fill();
    List<String> all = new ArrayList<>(WritingVerbs.OVERWRITES);
    all.addAll(NEW_FILES);

    for (String line : all) {
      fails(line, "new");

      assertThat(filesOfDisk()).as(line).containsExactly("ballast");
    }
  }

  @Test
  void whatIsThereIsKeptWhereNothingNewFits() throws Exception {
    int number = 0;
    for (String line : WritingVerbs.OVERWRITES) {
      String old = before(line);
      Files.writeString(there(line, "old" + number++), old, StandardCharsets.UTF_8);
    }
    fill();

    number = 0;
    for (String line : WritingVerbs.OVERWRITES) {
      fails(line, "old" + number);

      assertThat(there(line, "old" + number++)).as(line).hasContent(before(line));
    }
    assertThat(filesOfDisk()).hasSize(WritingVerbs.OVERWRITES.size() + 1);
  }

  /** As an earlier run of the verb may have left it. */
  private static String before(String line) {
    return "<!DOCTYPE html> what was there before " + line + "<!-- made by cellherd -->\n";
  }

  /** Room for the beginning of a file is no room for the file. */
  @Test
  void aDiskThatFillsMeanwhileLeavesAWholeFileOrNone() throws Exception {
    long seed = Long.getLong("cellherd.seed", System.nanoTime());
    Random random = new Random(seed);
    List<String> all = new ArrayList<>(WritingVerbs.OVERWRITES);
    all.addAll(NEW_FILES);
    for (String line : all) {
      resize("64m");
      Said said = said(line, there(line, "whole"));
      assertThat(said.code()).as("%s: %s", line, said.err()).isIn(0, 1);
      long size = Files.size(there(line, "whole"));
      empty();
      resize("64k");
      fill();
      resize(64 * 1024 + 4096 * (1 + random.nextLong(size / 4096 + 1)) + "");

      Said tried = said(line, there(line, "new"));

      if (tried.code() > 1) {
        told(line, tried, there(line, "new"));
        assertThat(filesOfDisk()).as("seed %d: %s", seed, line).containsExactly("ballast");
      }
      empty();
    }
  }

  private void resize(String size) throws Exception {
    assertThat(run("mount", "-o", "remount,size=" + size, disk.toString())).isZero();
  }

  private void empty() throws IOException {
    for (String file : filesOfDisk()) {
      Files.delete(disk.resolve(file));
    }
  }

  private void fails(String line, String name) {
    Path out = there(line, name);
    told(line, said(line, out), out);
  }

  private Said said(String line, Path out) {
    System.setIn(new ByteArrayInputStream(ANSWERS.getBytes(StandardCharsets.UTF_8)));
    List<String> words =
        List.of(line.replaceAll("OUT\\.\\w+", out.toString()).split(" ")).stream()
            .map(word -> word.replace("${f}", folder.toString()).replace("${centre}", centre))
            .map(word -> word.replace("${board}", "tcp:127.0.0.1:" + board.port()))
            .toList();
    return Said.by(words.toArray(new String[0]));
  }

  private static void told(String line, Said said, Path out) {

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
