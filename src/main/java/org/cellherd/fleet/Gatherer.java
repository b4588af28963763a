package org.cellherd.fleet;

import org.cellherd.mqtt.link.BrokerClient;
import org.cellherd.mqtt.link.LinkSettings;
import org.cellherd.mqtt.link.Publication;
import org.cellherd.mqtt.link.Wakeup;
import org.cellherd.pack.TimeSource;

/**
 * Takes what sites forward over the broker into the database, for the lanes that are its own. Any
 * number of them work side by side.
 */
public final class Gatherer implements AutoCloseable {

  private final Wakeup wakeup = new Wakeup();
  private final GatherDuty duty;
  private final BrokerClient client;

  private Gatherer(Settings settings, Centre centre, TimeSource time) {
    this.duty = new GatherDuty(settings, centre, time);
    String name = settings.root() + "/gatherer/" + settings.link().clientId();
    this.client =
        new BrokerClient(
            "cellherd-gather",
            settings.link(),
            new Publication(name, "", true),
            duty,
            time,
            wakeup);
  }

  /**
   * Makes or brings up to date the tables, and begins.
   *
   * @throws CentreTrouble when the database cannot be used now
   */
  public static Gatherer start(Settings settings, TimeSource time) throws CentreTrouble {
    Gatherer gatherer = new Gatherer(settings, Centre.openForWriting(settings.centre()), time);
    gatherer.client.start();
    return gatherer;
  }

  public long stored() {
    return duty.stored();
  }

  public int lanes() {
    return duty.lanes();
  }

  @Override
  public void close() {
    client.close();
    duty.close();
  }

  /**
   * How a gatherer works.
   *
   * @param root topic root that all sites share
   * @param link how to reach the broker
   * @param centre where the database is
   */
  public record Settings(String root, LinkSettings link, CentreAddress centre) {}
}
