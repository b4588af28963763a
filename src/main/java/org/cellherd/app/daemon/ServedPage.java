package org.cellherd.app.daemon;

import java.io.IOException;
import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.net.Inet6Address;
import java.net.InetAddress;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Supplier;
import org.cellherd.alert.Acknowledger;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.app.config.Config;
import org.cellherd.app.config.LineConfig;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.logged.LogStretch;
import org.cellherd.app.logged.TestCurves;
import org.cellherd.pack.Gap;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.TimeSource;
import org.cellherd.page.LocalPage;
import org.cellherd.page.PackHistory;
import org.cellherd.page.PagePack;
import org.cellherd.page.PageSettings;
import org.cellherd.report.plot.BalancedBand;
import org.cellherd.report.plot.Tracks;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;

/** Opens the local page of a config and lets it serve. */
final class ServedPage {

  private static final Logger LOG = System.getLogger(ServedPage.class.getName());
  private static final int USUAL_POLL_MS = 1_000;

  private ServedPage() {}

  /**
   * Opens the page of a config, to be served later. A page that cannot be is said so and done
   * without: the watch matters more.
   */
  static Optional<LocalPage> open(
      Config config,
      Acknowledger acknowledger,
      Supplier<LocalPage.Health> health,
      TimeSource time) {
    if (config.page().isEmpty()) {
      return Optional.empty();
    }
    PageSettings settings = config.page().get();
    try {
      LocalPage page =
          LocalPage.open(
              settings,
              new LocalPage.Parts(
                  config.site(),
                  "cellherd",
                  config.packs().stream().map(ServedPage::pack).toList(),
                  new LookedUp(config),
                  acknowledger,
                  health,
                  time,
                  config.zone()));
      LOG.log(Level.INFO, "page on " + shown(page));
      return Optional.of(page);
    } catch (IOException cannot) {
      LOG.log(
          Level.ERROR,
          "page: cannot listen on "
              + settings.listen().getHostString()
              + ":"
              + settings.listen().getPort()
              + " ("
              + cannot.getMessage()
              + "); going on without it");
      return Optional.empty();
    }
  }

  private static String shown(LocalPage page) {
    InetAddress host = page.address().getAddress();
    int port = page.address().getPort();
    if (host.isAnyLocalAddress()) {
      return "http://localhost:" + port + "/, and on every other address of this computer";
    }
    String name = host.getHostAddress();
    return "http://" + (host instanceof Inet6Address ? "[" + name + "]" : name) + ":" + port + "/";
  }

  private static PagePack pack(PackConfig pack) {
    return PagePack.polledEvery(
            pack.plan(), pack.line().map(LineConfig::pollMs).orElse(USUAL_POLL_MS))
        .with(BalancedBand.of(pack.analysis()));
  }

  /** Each look opens the log anew: nothing is held meanwhile, and a file made anew is found. */
  private record LookedUp(Config config) implements PackHistory {

    private LogFile open() throws StorageFailure {
      return LogFile.open(config.storeFile(), OpenMode.READER, config.store());
    }

    @Override
    public Stretch read(String pack, long fromMs, long toMs) throws StorageFailure {
      PackPlan plan = PackConfig.among(config.packs(), pack).plan();
      try (LogFile file = open()) {
        LogStretch stretch = new LogStretch(file, plan, fromMs, toMs);
        List<Gap> gaps = new ArrayList<>();
        Tracks tracks = stretch.tracks(gaps);
        return new Stretch(
            tracks,
            gaps,
            stretch.alerts(),
            stretch.remarks(),
            file.oldestMs(pack),
            stretch.charge().map(Finding::sentence).orElse(""));
      }
    }

    @Override
    public List<TestedDischarge> tests(String pack) throws StorageFailure {
      try (LogFile file = open()) {
        List<Finding> told =
            file.history().findings(pack, FindingName.CAPACITY, Long.MIN_VALUE, Long.MAX_VALUE);
        return TestCurves.of(file, PackConfig.among(config.packs(), pack), told);
      }
    }
  }

  /** Tells what was known before this run and begins to serve. */
  static void serve(
      LocalPage page, List<PackWatch> watches, List<Alert> standing, List<AlertEvent> before) {
    Map<String, Reading> last = new HashMap<>();
    for (PackWatch watch : watches) {
      watch.analysis().reading().ifPresent(reading -> last.put(watch.id(), reading));
    }
    page.serve(last, standing, before);
  }
}
