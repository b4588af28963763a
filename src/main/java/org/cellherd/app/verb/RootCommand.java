package org.cellherd.app.verb;

import java.io.PrintWriter;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.fleet.CentreTrouble;
import org.cellherd.pack.StorageFailure;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.Spec;

/** {@code cellherd}: the verbs and what they have in common. */
@Command(
    name = "cellherd",
    mixinStandardHelpOptions = true,
    versionProvider = ProgramVersion.class,
    synopsisSubcommandLabel = "VERB",
    description =
        "Watches the cells of a rebuilt battery pack through its protection board: balance,"
            + " capacity, limits, alerts over MQTT. It only listens, and it protects nothing.",
    footer = {
      "",
      "Exit codes: 0 done, 1 a check said no, 2 wrong usage or file, 3 line to a board,",
      "4 the log's file, 5 MQTT broker. Results go to standard output, the rest to standard error."
    })
public final class RootCommand implements Runnable {

  @Spec private CommandSpec spec;

  @CommandLine.Option(
      names = "--verbose",
      scope = CommandLine.ScopeType.INHERIT,
      description = "Log more.")
  private boolean verbose;

  private boolean onTerminal;

  /** Runs a command line and returns the exit code; prints what went wrong in one line. */
  public static int execute(String... args) {
    CommandLine commandLine = commandLine(args);
    RootCommand root = commandLine.getCommand();
    root.onTerminal = Screen.isTerminal();
    commandLine.setExecutionStrategy(
        parsed -> {
          LogLines.install(root.verbose);
          return new CommandLine.RunLast().execute(parsed);
        });
    return commandLine.execute(args);
  }

  /** What understands a command line; without one it knows all verbs, for help and completion. */
  public static CommandLine commandLine(String... args) {
    CommandLine commandLine = new CommandLine(new RootCommand());
    Verbs.addTo(commandLine, args);
    NumberOption.addTo(commandLine);
    commandLine.setCaseInsensitiveEnumValuesAllowed(true);
    commandLine.setParameterExceptionHandler(RootCommand::wrongUsage);
    commandLine.setExecutionExceptionHandler(RootCommand::failed);
    return commandLine;
  }

  /** True where a person reads what is printed; false for a caller with a writer of its own. */
  boolean isOnTerminal() {
    return onTerminal;
  }

  private static int wrongUsage(ParameterException thrown, String[] args) {
    CommandLine where = thrown.getCommandLine();
    PrintWriter err = where.getErr();
    err.println(
        thrown instanceof CommandLine.UnmatchedArgumentException unknown
            ? UnknownWord.text(unknown)
            : thrown.getMessage());
    err.println("Try: " + where.getCommandSpec().qualifiedName() + " --help");
    return ExitCode.USAGE;
  }

  /** What ends a verb: its own word, or what log and centre cannot do. */
  private static int failed(Exception thrown, CommandLine where, CommandLine.ParseResult parsed)
      throws Exception {
    Stop stop;
    if (thrown instanceof Stop said) {
      stop = said;
    } else if (thrown instanceof StorageFailure failure) {
      stop = LogOptions.storeStop(failure);
    } else if (thrown instanceof CentreTrouble trouble) {
      stop = CentreOptions.stop(trouble);
    } else {
      throw thrown;
    }
    where.getErr().println(stop.getMessage());
    return stop.exitCode();
  }

  @Override
  public void run() {
    throw new ParameterException(spec.commandLine(), "Which verb? See: cellherd --help");
  }
}
