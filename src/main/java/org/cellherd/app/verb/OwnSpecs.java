package org.cellherd.app.verb;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
import java.util.function.Supplier;
import java.util.stream.Stream;
import org.cellherd.app.Stop;
import org.cellherd.app.config.Decoders;
import org.cellherd.app.config.FileText;
import org.cellherd.pack.PlainText;
import org.cellherd.protocol.spec.Specs;

/**
 * The user's own board descriptions: every {@code .toml} in the folder {@code protocol-specs}
 * beside the config, and in that of the computer. A file that cannot be used is told in one line
 * and left out.
 */
final class OwnSpecs {

  private static final int MOST_FILES = 100;

  private final Decoders known;
  private final Consumer<String> complaint;

  /**
   * Descriptions beside this config.
   *
   * @param complaint hears one line about each file that is left out
   */
  OwnSpecs(Path config, Consumer<String> complaint) {
    known = new Decoders(config);
    this.complaint = complaint;
  }

  /** All that can be used, by their file names. */
  List<BoardSearch.Candidate> all() {
    List<BoardSearch.Candidate> found = new ArrayList<>();
    for (Path folder : known.folders()) {
      files(folder).forEach(file -> addUsable(found, () -> candidate(file)));
    }
    return found;
  }

  /** Adds a description, or says in one line why it is left out. */
  void addUsable(List<BoardSearch.Candidate> found, Supplier<BoardSearch.Candidate> description) {
    try {
      found.add(description.get());
    } catch (Stop unusable) {
      List<String> lines = String.valueOf(unusable.getMessage()).lines().toList();
      String more = lines.size() > 1 ? " (and " + (lines.size() - 1) + " more)" : "";
      complaint.accept("left out: " + PlainText.marked(lines.get(0)) + more);
    }
  }

  /** A description file, and how the config names it: from the config's own folder if it can. */
  BoardSearch.Candidate candidate(Path file) {
    Path home = known.home();
    Path whole = file.toAbsolutePath().normalize();
    String spec = whole.startsWith(home) ? home.relativize(whole).toString() : whole.toString();
    return new BoardSearch.Candidate(spec, Decoders.read(file));
  }

  private List<Path> files(Path folder) {
    if (!Files.isDirectory(folder)) {
      return List.of();
    }
    try (Stream<Path> entries = Files.list(folder)) {
      List<Path> files =
          entries.filter(OwnSpecs::isDescription).filter(file -> !isCopy(file)).sorted().toList();
      if (files.size() > MOST_FILES) {
        complaint.accept(folder + ": only the first " + MOST_FILES + " descriptions are tried");
      }
      return files.subList(0, Math.min(MOST_FILES, files.size()));
    } catch (IOException | UncheckedIOException unreadable) {
      complaint.accept(folder + ": cannot be read (" + unreadable.getMessage() + ")");
      return List.of();
    }
  }

  /** Not the vectors beside a description; not a pipe, which would be waited for without end. */
  private static boolean isDescription(Path file) {
    String name = file.getFileName().toString();
    return name.endsWith(".toml")
        && !name.endsWith(".vectors.toml")
        && !name.startsWith(".")
        && (Files.isRegularFile(file) || !Files.exists(file));
  }

  /** A copy of one that comes with the program would only be tried twice. */
  private static boolean isCopy(Path file) {
    try {
      return Specs.shippedText(file.getFileName().toString())
          .filter(text -> text.equals(FileText.read(file)))
          .isPresent();
    } catch (Stop unreadable) {
      return false;
    }
  }
}
