package org.cellherd.app.verb;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.fleet.trial.EmbeddedCentre;
import org.cellherd.forward.ForwardSettings;
import org.cellherd.forward.wire.Lane;
import org.cellherd.mqtt.trial.InProcessBroker;
import org.cellherd.sim.Scenario;

/** Three sites at once whose logs come together, though one of two gatherers is killed. */
final class ManySites {

  private static final Map<String, String> NIGHTS = new LinkedHashMap<>();

  static {
    NIGHTS.put("hill", "first-night");
    NIGHTS.put("ridge", "healthy-night");
    NIGHTS.put("shore", "stuck-cell");
  }

  private final Path folder;
  private final TypedVerb typed;
  private final PrintWriter out;
  private final SystemTime time = new SystemTime();

  ManySites(Path folder, PrintWriter out) {
    this.folder = folder;
    this.out = out;
    this.typed = new TypedVerb(out);
  }

  void run() throws IOException, InterruptedException {
    out.println("Everything here is invented: the sites, their packs, their nights.");
    typed.say("A broker, a PostgreSQL and two gatherers, each a process of its own.");
    try (InProcessBroker broker = InProcessBroker.start();
        EmbeddedCentre centre = EmbeddedCentre.start()) {
      List<String> words =
          List.of("gather", "--store", centre.url(), "--broker", broker.url().toString());
      out.println("$ cellherd " + String.join(" ", words) + "     (twice)");
      out.flush();
      try (GathererProcess first = gatherer(1, words);
          GathererProcess second = gatherer(2, words)) {
        gather(broker, first, second);
        typed.say("Which of all packs needs somebody?");
        typed.play("fleet", "--store", centre.url());
        typed.say("A verb answers from there as it does at the site.");
        typed.play("balance", "--store", centre.url(), "--site", "hill", "--pack", "crate");
      }
    }
    out.println();
    out.println("The logs of the sites lie in " + folder + ".");
  }

  private GathererProcess gatherer(int number, List<String> words)
      throws IOException, InterruptedException {
    return GathererProcess.start(folder.resolve("gatherer-" + number + ".txt"), words, time);
  }

  private void gather(InProcessBroker broker, GathererProcess first, GathererProcess second)
      throws IOException, InterruptedException {
    typed.say("Three sites hand their logs over while a night passes in seconds.");
    List<ForwardedNight> nights = new ArrayList<>();
    for (Map.Entry<String, String> night : NIGHTS.entrySet()) {
      Lane lane = new Lane(ForwardSettings.ROOT, night.getKey());
      Scenario scenario = NamedScenario.open(night.getValue(), null);
      out.println(lane.site() + ": " + scenario.title());
      nights.add(new ForwardedNight(lane, scenario, folder, broker.url(), time));
    }
    out.flush();
    CountDownLatch played = new CountDownLatch(1);
    ExecutorService sites = Executors.newFixedThreadPool(nights.size());
    try {
      List<Future<Long>> missing = new ArrayList<>();
      for (ForwardedNight night : nights) {
        missing.add(sites.submit(() -> night.run(played)));
      }
      played.await();
      first.kill();
      out.println(
          "Gatherer " + first.pid() + " is killed; " + second.pid() + " takes its part over.");
      out.flush();
      tell(missing);
    } catch (ExecutionException failed) {
      throw new Stop(ExitCode.STORE, "the demo stopped: " + failed.getMessage());
    } finally {
      sites.shutdownNow();
    }
  }

  private void tell(List<Future<Long>> missing) throws InterruptedException, ExecutionException {
    long all = 0;
    for (Future<Long> ofOne : missing) {
      all += ofOne.get();
    }
    if (all > 0) {
      throw new Stop(ExitCode.STORE, "parcels that the database does not hold: " + all);
    }
    out.println("The database holds all that the three logs have finished.");
  }
}
