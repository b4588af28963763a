package org.cellherd.app.command;

import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.analysis.plan.PlanCheck.Verdict;
import org.cellherd.app.command.PathWalk.Obstacle;
import org.cellherd.app.config.Config;
import org.cellherd.pack.Facts;

/**
 * Whether a program of the config may be run by who runs cellherd.
 *
 * @param table of the config, such as {@code alert.command}
 * @param program its full path
 * @param verdict whether it may be run
 * @param sentence why
 */
public record CommandCheck(String table, String program, Verdict verdict, String sentence) {

  /** Looks at every program of a config. */
  public static List<CommandCheck> of(Config config) {
    Optional<CommandUser> runner = CommandUser.of(config.file());
    List<CommandCheck> checks = new ArrayList<>();
    config.commands().forEach(run -> checks.add(of("alert.command", run, runner)));
    config
        .morning()
        .map(Config.Morning::run)
        .filter(run -> !run.isEmpty())
        .ifPresent(run -> checks.add(of("morning", run, runner)));
    return checks;
  }

  private static CommandCheck of(String table, List<String> run, Optional<CommandUser> runner) {
    return runner
        .map(who -> of(table, run, who))
        .orElseGet(
            () ->
                new CommandCheck(
                    table,
                    run.get(0),
                    Verdict.WARN,
                    "This system does not say who runs cellherd, so it is not known whether "
                        + run.get(0)
                        + " may be run."));
  }

  static CommandCheck of(String table, List<String> run, CommandUser runner) {
    Path program = Path.of(run.get(0));
    PathWalk walk = new PathWalk(runner.account());
    Verdict verdict = Verdict.OK;
    String sentence = "The user " + runner.account().name() + " may run " + program + ".";
    try {
      new ProgramFile(runner.account()).check(walk, program);
    } catch (Obstacle obstacle) {
      verdict = Verdict.FAIL;
      sentence = capital(obstacle.why()) + ".";
    }
    Optional<Path> hidden = runner.firstHidden(places(walk, run));
    if (hidden.isPresent()) {
      verdict = verdict == Verdict.OK ? Verdict.WARN : verdict;
      sentence +=
          " The service does not see "
              + hidden.get()
              + ": its unit hides "
              + String.join(", ", runner.hidden().stream().map(Path::toString).toList())
              + ". Move it, for example below /usr/local.";
    }
    return new CommandCheck(table, run.get(0), verdict, sentence);
  }

  /** Where the program lies, by its links too, and the files that its arguments name. */
  private static List<Path> places(PathWalk walk, List<String> run) {
    List<Path> places = new ArrayList<>();
    for (String word : run) {
      if (word.startsWith("/")) {
        path(word).map(Path::normalize).ifPresent(places::add);
      }
    }
    places.addAll(walk.passed());
    return places;
  }

  /** An argument may be anything. */
  private static Optional<Path> path(String word) {
    try {
      return Optional.of(Path.of(word));
    } catch (InvalidPathException noPath) {
      return Optional.empty();
    }
  }

  private static String capital(String text) {
    return text.substring(0, 1).toUpperCase(Locale.ROOT) + text.substring(1);
  }

  /** For people, below a heading. */
  public String line() {
    return String.format(
        Locale.ROOT, "  %-4s  [%s] %s", verdict.word().toUpperCase(Locale.ROOT), table, sentence);
  }

  public Facts facts() {
    return Facts.of()
        .put("table", table)
        .put("program", program)
        .put("verdict", verdict.word())
        .put("text", sentence)
        .build();
  }
}
