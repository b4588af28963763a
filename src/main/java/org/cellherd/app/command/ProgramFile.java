package org.cellherd.app.command;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import org.cellherd.app.FileCause;
import org.cellherd.app.command.PathWalk.Obstacle;

/** A file that is to be run by a user: itself, and what its first line names. */
final class ProgramFile {

  /** As Linux has it: a script may name a script so many times. */
  private static final int MOST_INTERPRETERS = 4;

  /** Linux reads no more of a first line. */
  private static final int FIRST_BYTES = 256;

  private final UserAccount who;

  ProgramFile(UserAccount who) {
    this.who = who;
  }

  /** Refuses what the user may not run, or what the system cannot. */
  void check(PathWalk walk, Path path) throws Obstacle {
    check(walk.end(path), 0);
  }

  private void check(Entry file, int depth) throws Obstacle {
    if (!file.isFile()) {
      throw new Obstacle(file.path() + " is not a file");
    }
    if (!file.isRunnableBy(who)) {
      throw new Obstacle(
          "the user %s may not run %s (%s); do: chmod a+x %s"
              .formatted(who.name(), file.path(), file.modeWords(), file.path()));
    }
    String start = start(file);
    if (start.startsWith("\u007fELF")) {
      return;
    }
    if (!file.isReadableBy(who)) {
      throw new Obstacle(
          "the user %s may not read the script %s (%s); do: chmod a+r %s"
              .formatted(who.name(), file.path(), file.modeWords(), file.path()));
    }
    Optional<String> interpreter = interpreter(start);
    if (interpreter.isPresent()) {
      checkInterpreter(file.path(), interpreter.get(), depth);
    }
  }

  private void checkInterpreter(Path script, String named, int depth) throws Obstacle {
    String line = "the first line of " + script;
    if (named.endsWith("\r")) {
      throw new Obstacle(line + " ends with a carriage return; save it with Unix line ends");
    }
    if (!named.startsWith("/")) {
      throw new Obstacle(line + " names \"" + named + "\", which is no full path");
    }
    if (depth == MOST_INTERPRETERS) {
      throw new Obstacle(line + " names one script too many");
    }
    try {
      check(new PathWalk(who).end(Path.of(named)), depth + 1);
    } catch (Obstacle obstacle) {
      throw new Obstacle(line + " names " + named + ": " + obstacle.why());
    }
  }

  /** The program that a first line names; nothing where the shell runs the file. */
  private static Optional<String> interpreter(String start) {
    if (!start.startsWith("#!")) {
      return Optional.empty();
    }
    String first = start.substring(2).split("\n", 2)[0].replaceFirst("^[ \t]+", "");
    String name = first.split("[ \t]", 2)[0];
    return name.isEmpty() ? Optional.empty() : Optional.of(name);
  }

  private static String start(Entry file) throws Obstacle {
    try (InputStream in = Files.newInputStream(file.path())) {
      return new String(in.readNBytes(FIRST_BYTES), StandardCharsets.ISO_8859_1);
    } catch (IOException unreadable) {
      throw new Obstacle(file.path() + " cannot be read: " + FileCause.of(file.path(), unreadable));
    }
  }
}
