package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.List;
import java.util.Random;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import org.cellherd.protocol.spec.Specs;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Every reader of a user's file against drawn damage: the verb ends with a word about that file or
 * takes it; a mark or line ends of another editor change nothing.
 */
class HostileFilesTest {

  private static final String PLAN =
      """
      [[pack]]
      id = "crate"
      chemistry = "lfp"
      series = 4
      parallel = 1
      rated_ah = 27
      charge_mv = 13900
      load_a = 0.5
      """;

  private static final String CONFIG =
      PLAN
          + """
          [mqtt]
          url = "mqtt://127.0.0.1:1"
          user = "u"
          password_file = "secret"
          [[mqtt.announce]]
          per = "cell"
          topic = "d/${cell.key}"
          payload = '{"l": "${cell.number}"}'
          [alert.cell_high]
          """;

  private static final Pattern NUMBER = Pattern.compile("(?<= )-?[0-9][0-9.]*");

  private static final List<String> ODD_NUMBERS =
      List.of("nan", "inf", "-inf", "1e400", "-0.0", "99999999999999999999", "0x7fffffffffffffff");

  private record Reader(String file, String text, List<String> words) {}

  @TempDir private Path folder;

  private String in(String name) {
    return folder.resolve(name).toString();
  }

  private List<Reader> readers() {
    String csv =
        "time,pack_v,cell_1_v\n2026-01-31T18:00:00Z,13.3,3.331\n2026-01-31T18:00:10Z,13.3,3.331\n";
    String capture = "{\"at_ms\":1767225600000,\"dir\":\"rx\",\"hex\":\"0103\"}\n".repeat(20);
    String spec = Specs.shippedText("fennel-4.toml").orElseThrow();
    String vectors = Specs.shippedText("fennel-4.vectors.toml").orElseThrow();
    return List.of(
        new Reader(
            "config.toml",
            CONFIG,
            List.of("energy", "--config", in("config.toml"), "--db", in("x"))),
        new Reader(
            "plan.toml", PLAN, List.of("energy", "--plan", in("plan.toml"), "--db", in("x"))),
        new Reader(
            "secret", "word\n", List.of("energy", "--config", in("config.toml"), "--db", in("x"))),
        new Reader("f.toml", spec, List.of("spec", "show", in("f.toml"))),
        new Reader("f.vectors.toml", vectors, List.of("spec", "test", in("f.toml"))),
        new Reader("c.jsonl", capture, List.of("frames", in("c.jsonl"))),
        new Reader(
            "r.csv",
            csv,
            List.of("import", "--plan", in("plan.toml"), "--db", in("r.db"), in("r.csv"))),
        new Reader(
            "s.toml", "title = \"x\"\n", List.of("simulate", in("s.toml"), "--log", in("s.db"))));
  }

  private void layOut() throws Exception {
    for (Reader reader : readers()) {
      put(reader, reader.text.getBytes(StandardCharsets.UTF_8));
    }
    Files.deleteIfExists(folder.resolve("r.db"));
  }

  private void put(Reader reader, byte[] bytes) throws Exception {
    Path file = folder.resolve(reader.file);
    Files.write(file, bytes);
    Files.setPosixFilePermissions(file, PosixFilePermissions.fromString("rw-------"));
  }

  private static byte[] damaged(String text, Random random) {
    byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
    int at = random.nextInt(bytes.length);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.write(bytes, 0, at);
    switch (random.nextInt(7)) {
      case 0 -> {}
      case 1 -> out.writeBytes(new byte[] {0});
      case 2 -> out.writeBytes(new byte[] {(byte) 0xC3, (byte) 0x28});
      case 3 -> out.writeBytes("x".repeat(300_000).getBytes(StandardCharsets.UTF_8));
      case 4 -> at += 1 + random.nextInt(5);
      case 5 -> {
        return odd(text, random).getBytes(StandardCharsets.UTF_8);
      }
      default -> {
        return text.replace(text.charAt(at), "\u0000\"'[{=,;\n".charAt(random.nextInt(9)))
            .getBytes(StandardCharsets.UTF_8);
      }
    }
    boolean isCut = out.size() == at;
    if (!isCut && at < bytes.length) {
      out.write(bytes, at, bytes.length - at);
    }
    return out.toByteArray();
  }

  private static String odd(String text, Random random) {
    List<MatchResult> numbers = NUMBER.matcher(text).results().toList();
    if (numbers.isEmpty()) {
      return "nan";
    }
    MatchResult one = numbers.get(random.nextInt(numbers.size()));
    String other = ODD_NUMBERS.get(random.nextInt(ODD_NUMBERS.size()));
    return text.substring(0, one.start()) + other + text.substring(one.end());
  }

  @Test
  void damageIsToldOrTakenNeverThrown() throws Exception {
    for (int seed = 0; seed < 240; seed++) {
      layOut();
      Reader reader = readers().get(seed % readers().size());
      put(reader, damaged(reader.text, new Random(seed)));

      Said said = Said.by(reader.words.toArray(new String[0]));

      String which = "seed " + seed + " " + reader.file + ": " + said;
      assertThat(said.code()).as(which).isIn(0, 1, 2, 4);
      assertThat(said.err()).as(which).doesNotContain("Exception").doesNotContain("unexpected");
      if (said.code() == 2) {
        assertThat(said.err()).as(which).contains(reader.file);
      }
    }
  }

  @Test
  void aFolderAnEmptyFileAndAnEndlessOneAreNamed() throws Exception {
    for (Reader reader : readers()) {
      for (String kind : List.of("folder", "empty", "endless")) {
        layOut();
        Path file = folder.resolve(reader.file);
        Files.delete(file);
        switch (kind) {
          case "folder" -> Files.createDirectory(file);
          case "empty" -> Files.createFile(file);
          default -> Files.createSymbolicLink(file, Path.of("/dev/zero"));
        }

        Said said = Said.by(reader.words.toArray(new String[0]));

        Files.delete(file);
        String which = kind + " " + reader.file + ": " + said;
        assertThat(said.code()).as(which).isIn(1, 2);
        assertThat(said.err() + said.out()).as(which).contains(reader.file);
        assertThat(said.err()).as(which).doesNotContain("Exception");
      }
    }
  }

  @Test
  void aByteOrderMarkAndOtherLineEndsChangeNothing() throws Exception {
    for (Reader reader : readers()) {
      layOut();
      Said plain = Said.by(reader.words.toArray(new String[0]));
      for (String text : List.of("\uFEFF" + reader.text, reader.text.replace("\n", "\r\n"))) {
        layOut();
        put(reader, text.getBytes(StandardCharsets.UTF_8));

        Said said = Said.by(reader.words.toArray(new String[0]));

        assertThat(said).as(reader.file).isEqualTo(plain);
      }
    }
  }
}
