package org.cellherd.app.verb;

import java.util.List;
import java.util.concurrent.Callable;
import java.util.stream.Stream;
import picocli.CommandLine;

/** The verbs of the command line's own model, those within a verb each by itself. */
final class EveryVerb {

  private EveryVerb() {}

  /** All that can be run. */
  static List<CommandLine> all() {
    return leaves(RootCommand.commandLine()).filter(c -> !words(c).equals("help")).toList();
  }

  private static Stream<CommandLine> leaves(CommandLine command) {
    // "alerts" answers by itself too.
    boolean runs = command.getCommandSpec().userObject() instanceof Callable;
    Stream<CommandLine> within =
        command.getSubcommands().values().stream().distinct().flatMap(EveryVerb::leaves);
    return runs ? Stream.concat(Stream.of(command), within) : within;
  }

  /** How it is called: {@code spec list}. */
  static String words(CommandLine command) {
    String full = command.getCommandSpec().qualifiedName();
    return full.substring(full.indexOf(' ') + 1);
  }
}
