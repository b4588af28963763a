package org.cellherd.app.verb;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/**
 * The whole job on invented cells, by the verbs themselves: a pile becomes a pack, the pack is
 * charged and tested, and has its label.
 */
final class WholeJob {

  private static final long SEED = 11;

  /** What the builder adds to the plan that the matching wrote. */
  private static final String PARTS =
      """
      name = "Field crate"
      charge_mv = 13_900
      load_a = 20
      charger_a = 5

      [pack.board]
      name = "sorrel, an invented board"
      continuous_a = 27
      bleed_ma = 130

      [pack.fuse]
      rated_a = 25
      interrupt_a = 2000
      max_v = 32

      [pack.wire]
      area_mm2 = 13
      length_m = 1
      """;

  private final Path folder;
  private final PrintWriter out;
  private final TypedVerb typed;

  WholeJob(Path folder, PrintWriter out) {
    this.folder = folder;
    this.out = out;
    this.typed = new TypedVerb(out);
  }

  void run() throws IOException {
    out.println(
        "Everything here is invented: the pile, the board, the nights. Nobody measured it.");
    clear();
    Files.write(folder.resolve("pile.csv"), InventedPile.lines(SEED));
    typed.say("A pile of thirty used cells of two donors: which to use?");
    typed.play("triage", file("pile.csv"));
    typed.say("Four groups of six: which go together?");
    typed.play(
        "match",
        file("pile.csv"),
        "--series",
        "4",
        "--parallel",
        "6",
        "--bleed-ma",
        "130",
        "--plan-out",
        file("matched.toml"),
        "--picture",
        file("arrangement.svg"));
    typed.say("The builder adds board, fuse, wire and charger to the plan.");
    Path matched = folder.resolve("matched.toml");
    String plan = Files.readString(matched).replace("id = \"pack\"", "id = \"crate\"");
    Files.writeString(folder.resolve("crate.toml"), plan + PARTS);
    typed.play("check", "--plan", file("crate.toml"));
    typed.say("What to enter in board and charger: on the page for the lid, each with its reason.");
    typed.play("setpoints", "--plan", file("crate.toml"), file("lid.pdf"));
    typed.say("The first night (simulated cells of the same kind).");
    typed.play("simulate", "first-night", "--log", file("night.db"));
    log("night.db", "balance");
    typed.say("Two capacity tests, at two rates.");
    typed.play("simulate", "capacity-test", "--log", file("tests.db"));
    log("tests.db", "capacity");
    typed.say("The label, and the page for the lid with the tests on it.");
    log("tests.db", "label", file("label.pdf"));
    log("tests.db", "label");
    log("tests.db", "setpoints", file("lid.pdf"));
    out.println();
    out.println("Everything lies in " + folder + ".");
  }

  private void clear() throws IOException {
    for (String name : List.of("matched.toml", "night", "tests")) {
      for (String ending :
          List.of("", ".toml", ".db", ".db-wal", ".db-shm", ".db-tail", ".db.lock")) {
        Path old = folder.resolve(name + ending);
        if (Files.isRegularFile(old)) {
          Files.delete(old);
        }
      }
    }
  }

  private String file(String name) {
    return folder.resolve(name).toString();
  }

  private void log(String db, String verb, String... more) {
    String[] words = new String[more.length + 5];
    System.arraycopy(
        new String[] {verb, "--db", file(db), "--plan", file("crate.toml")}, 0, words, 0, 5);
    System.arraycopy(more, 0, words, 5, more.length);
    typed.play(words);
  }
}
