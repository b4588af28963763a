package org.cellherd.app.verb;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import org.cellherd.app.ExitCode;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.fleet.trial.EmbeddedCentre;
import org.cellherd.mqtt.link.BrokerUrl;
import org.cellherd.mqtt.trial.InProcessBroker;
import org.cellherd.pack.Cautions;
import org.cellherd.sim.Scenario;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;

@Command(
    name = "demo",
    mixinStandardHelpOptions = true,
    header = "Shows the main job on a simulated pack, in seconds.",
    description =
        "Plays a first top-balance night over real protocol bytes into a real log, with real "
            + "MQTT messages.")
final class DemoVerb implements Callable<Integer> {

  @Spec private CommandSpec spec;

  @Option(
      names = "--scenario",
      paramLabel = "NAME",
      defaultValue = "first-night",
      description =
          "Which simulated run, or your own file; see \"simulate --list\". Default: ${DEFAULT-VALUE}.")
  private String scenario;

  @Option(names = "--seed", paramLabel = "N", description = "Another night of the same kind.")
  private @Nullable Long seed;

  @Option(
      names = "--folder",
      paramLabel = "DIR",
      description =
          "Where the files go; an older log there is replaced. Default: target/demo, or ./cellherd-demo.")
  private @Nullable Path folder;

  @Option(
      names = "--broker",
      paramLabel = "URL",
      description = "A broker to use instead of the one inside, such as mqtt://127.0.0.1:1883.")
  private @Nullable String broker;

  @Option(
      names = "--from-pile",
      description =
          "Show the whole job instead, from an invented pile of used cells to the pack's label.")
  private boolean fromPile;

  @Option(
      names = "--many-sites",
      description =
          "Show many sites instead: three hand their logs over to a PostgreSQL while a gatherer is "
              + "killed.")
  private boolean manySites;

  @Override
  public Integer call() throws Exception {
    PrintWriter out = spec.commandLine().getOut();
    if (fromPile) {
      return wholeJob(out);
    }
    if (manySites) {
      return manySites(out);
    }
    Scenario night = NamedScenario.open(scenario, seed);
    out.println(Cautions.LINE);
    if (broker != null) {
      run(night, url(broker), out);
    } else if (InProcessBroker.isPresent()) {
      try (InProcessBroker inside = InProcessBroker.start()) {
        run(night, inside.url(), out);
      }
    } else {
      out.println(
          "(no broker inside the installed program: name one with --broker to see its messages)");
      run(night, null, out);
    }
    return ExitCode.DONE;
  }

  private int wholeJob(PrintWriter out) {
    Path to = folder();
    out.println(Cautions.LINE);
    try {
      Files.createDirectories(to);
      new WholeJob(to, out).run();
    } catch (IOException cannot) {
      throw FileCause.unwritable(to, cannot);
    }
    return ExitCode.DONE;
  }

  private int manySites(PrintWriter out) throws InterruptedException {
    if (!InProcessBroker.isPresent() || !EmbeddedCentre.isPresent()) {
      throw Stop.usage(
          "the installed program has no broker and no PostgreSQL inside; in the sources:"
              + " mvn -q compile exec:java -Dexec.args=\"demo --many-sites\"");
    }
    Path to = folder();
    out.println(Cautions.LINE);
    try {
      Files.createDirectories(to);
      new ManySites(to, out).run();
    } catch (IOException cannot) {
      throw new Stop(ExitCode.STORE, "the demo stopped: " + cannot.getMessage());
    }
    return ExitCode.DONE;
  }

  private void run(Scenario night, @Nullable BrokerUrl url, PrintWriter out)
      throws InterruptedException {
    Path to = folder();
    try {
      Files.createDirectories(to);
      new DemoNight(night, url, to, out).run();
    } catch (IOException cannot) {
      throw FileCause.unwritable(to, cannot);
    }
  }

  private static BrokerUrl url(String text) {
    try {
      return BrokerUrl.of(text);
    } catch (IllegalArgumentException wrong) {
      throw Stop.usage("--broker " + wrong.getMessage());
    }
  }

  private Path folder() {
    if (folder != null) {
      return folder;
    }
    return Files.isDirectory(Path.of("target", "classes"))
        ? Path.of("target", "demo")
        : Path.of("cellherd-demo");
  }
}
