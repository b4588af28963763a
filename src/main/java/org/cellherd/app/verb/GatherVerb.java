package org.cellherd.app.verb;

import java.nio.file.Path;
import java.security.SecureRandom;
import java.util.Optional;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import org.cellherd.app.ExitCode;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.SecretFile;
import org.cellherd.fleet.Centre;
import org.cellherd.fleet.CentreTrouble;
import org.cellherd.fleet.Gatherer;
import org.cellherd.fleet.SiteLog;
import org.cellherd.forward.ForwardSettings;
import org.cellherd.mqtt.link.BrokerUrl;
import org.cellherd.mqtt.link.LinkSettings;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.StorageFailure;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code cellherd gather}. */
@Command(
    name = "gather",
    mixinStandardHelpOptions = true,
    header = "Gathers what sites forward in one PostgreSQL.",
    description =
        "Runs until it is stopped. Any number of them may run, on any number of computers: they "
            + "share the sites, and when one ends the others take over its share.")
final class GatherVerb implements Callable<Integer> {

  private static final System.Logger LOG = System.getLogger("org.cellherd.fleet");

  /** A gatherer takes the messages of many sites between two commits. */
  private static final int MOST_WAITING = 4_000;

  @Mixin private CentreOptions centre;
  @Mixin private Output output;

  @Option(
      names = "--broker",
      paramLabel = "URL",
      description = "The broker that the sites forward to: mqtt://HOST or mqtts://HOST.")
  private @Nullable String broker;

  @Option(names = "--broker-user", paramLabel = "NAME", description = "User at the broker.")
  private @Nullable String brokerUser;

  @Option(
      names = "--broker-password-file",
      paramLabel = "FILE",
      description = "One line with the password of that user; chmod 600.")
  private @Nullable Path brokerPasswordFile;

  @Option(
      names = "--broker-ca-file",
      paramLabel = "FILE",
      description = "PEM file of the authority that signed the broker's certificate.")
  private @Nullable Path brokerCaFile;

  @Option(
      names = "--root",
      paramLabel = "TOPIC",
      defaultValue = ForwardSettings.ROOT,
      description = "Topic root of all sites (default: ${DEFAULT-VALUE}).")
  private String root;

  @Option(
      names = "--rebuild-log",
      paramLabel = "FILE",
      description = "Write a site's log anew from what the centre holds, and end.")
  private @Nullable Path rebuild;

  @Option(
      names = "--refold",
      description =
          "Bring the results of all packs up to date where an older program made them, then end. "
              + "Several may run at once.")
  private boolean refold;

  @Option(names = "--site", paramLabel = "NAME", description = "With --rebuild-log: which site.")
  private @Nullable String site;

  @Override
  public Integer call() throws InterruptedException, CentreTrouble, StorageFailure {
    if (refold) {
      return new FleetRefold(centre.address(), output).run();
    }
    return rebuild == null ? gather() : rebuild(rebuild);
  }

  private Integer rebuild(Path file) throws CentreTrouble, StorageFailure {
    if (site == null) {
      throw Stop.usage("--rebuild-log needs --site, the name of a site");
    }
    FileCause.checkWritable(file);
    LogOptions.refuseTaken(file);
    try (Centre open = centre.open()) {
      SiteLog.newest(open, site).rebuild(file, Optional.empty());
      output.line(file + " holds the log of " + site + " as far as the centre holds it.");
      return ExitCode.DONE;
    }
  }

  private Integer gather() throws CentreTrouble {
    LogLines.sumUpRepeated();
    Gatherer.Settings settings = new Gatherer.Settings(root, link(), centre.address());
    CountDownLatch asked = new CountDownLatch(1);
    CountDownLatch ended = new CountDownLatch(1);
    try (Gatherer gatherer = Gatherer.start(settings, new SystemTime())) {
      Runtime.getRuntime().addShutdownHook(new Thread(() -> end(asked, ended), "stop"));
      LOG.log(
          System.Logger.Level.INFO,
          "gathering " + root + " of " + settings.link().url() + " into " + settings.centre());
      asked.await();
      LOG.log(
          System.Logger.Level.INFO,
          "stopping: stored " + Spoken.counted(gatherer.stored(), "parcel"));
    } catch (InterruptedException hurry) {
      Thread.currentThread().interrupt();
    } finally {
      ended.countDown();
    }
    return ExitCode.DONE;
  }

  private static void end(CountDownLatch asked, CountDownLatch ended) {
    asked.countDown();
    try {
      if (!ended.await(5, TimeUnit.SECONDS)) {
        LOG.log(System.Logger.Level.WARNING, "did not end in 5 s");
      }
    } catch (InterruptedException hurry) {
      Thread.currentThread().interrupt();
    }
  }

  private LinkSettings link() {
    if (broker == null) {
      throw Stop.usage("which broker? --broker mqtt://HOST");
    }
    if ((brokerUser == null) != (brokerPasswordFile == null)) {
      throw Stop.usage("--broker-user and --broker-password-file go together");
    }
    CentreOptions.checkCertificate(brokerCaFile);
    Optional<LinkSettings.Login> login =
        brokerUser == null || brokerPasswordFile == null
            ? Optional.empty()
            : Optional.of(new LinkSettings.Login(brokerUser, SecretFile.read(brokerPasswordFile)));
    String clientId = "cellherd-gather-" + Long.toHexString(new SecureRandom().nextLong());
    try {
      return new LinkSettings(
          BrokerUrl.of(broker),
          clientId,
          login,
          Optional.ofNullable(brokerCaFile),
          LinkSettings.Timing.DEFAULT,
          MOST_WAITING);
    } catch (IllegalArgumentException wrong) {
      throw Stop.usage("--broker: " + wrong.getMessage());
    }
  }
}
