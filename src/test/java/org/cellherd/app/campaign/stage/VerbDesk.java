package org.cellherd.app.campaign.stage;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.function.BooleanSupplier;
import java.util.function.Consumer;
import org.cellherd.app.daemon.Program;

/** The owner at the command line beside the running program. */
public final class VerbDesk {

  private static final String STORAGE = "4";

  private final Path folder;
  private final Consumer<String> complaints;
  private final BooleanSupplier isHarmed;
  private int count;

  /**
   * Works in the folder of the config.
   *
   * @param isHarmed true once the log may have lost something or cannot be read
   */
  public VerbDesk(Path folder, Consumer<String> complaints, BooleanSupplier isHarmed) {
    this.folder = folder;
    this.complaints = complaints;
    this.isHarmed = isHarmed;
  }

  /**
   * Asks a verb and complains about an exit code that it must not give and about what a user should
   * never see.
   *
   * @param codes exit codes that are right, with blanks between; 4 among others only of a log that
   *     was harmed
   */
  public String ask(String codes, String... words) throws IOException, InterruptedException {
    Program.Ended ended = Program.run(folder, words);
    String name = String.join(" ", words);
    if (!right(codes).contains(Integer.toString(ended.code()))) {
      complaints.accept(name + ": exit code " + ended.code() + ": " + shortened(ended.text()));
    }
    if (ended.text().contains("Exception") || ended.text().contains("\tat ")) {
      complaints.accept(name + ": " + shortened(ended.text()));
    }
    return ended.text();
  }

  private Set<String> right(String codes) {
    Set<String> right = new HashSet<>(Arrays.asList(codes.split(" ")));
    if (right.size() > 1 && !isHarmed.getAsBoolean()) {
      right.remove(STORAGE);
    }
    return right;
  }

  private static String shortened(String text) {
    List<String> lines = text.lines().filter(l -> !l.isBlank()).toList();
    return String.join(" | ", lines.subList(0, Math.min(4, lines.size())));
  }

  /** Copies the live log, and looks whether the copy can be read. */
  public void backup() throws IOException, InterruptedException {
    Path copy = folder.resolve("backup-" + ++count + ".db");
    ask("0 4", "backup", copy.toString());
    if (Files.exists(copy)) {
      ask("0", "alerts", "--db", copy.toString(), "--all");
      Files.delete(copy);
    }
  }

  /** Writes a report. */
  public void report() throws IOException, InterruptedException {
    Path report = folder.resolve("report.html");
    Files.deleteIfExists(report);
    ask("0 4", "report", "--pack", "crate", report.toString());
  }

  /** Imports into the log in use, or hostile rows into another one. */
  public void importCsv(String text, String codes) throws IOException, InterruptedException {
    Path csv = folder.resolve("rows.csv");
    Files.writeString(csv, text.isEmpty() ? "time,cell_1_v\n2026-01-01T00:00:00Z,3.3\n" : text);
    if (text.isEmpty()) {
      ask(codes, "import", "--pack", "crate", csv.toString());
    } else {
      Path other = folder.resolve("other.db");
      ask(codes, "import", "--db", other.toString(), "--pack", "crate", csv.toString());
      Files.deleteIfExists(other);
    }
  }
}
