package org.cellherd.app.config;

import java.net.URI;
import java.nio.file.Path;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import org.cellherd.forward.ForwardSettings;
import org.cellherd.mqtt.MqttSettings;
import org.cellherd.page.PageSettings;
import org.cellherd.store.sql.StoreSettings;

/**
 * The whole config, checked.
 *
 * @param file where it was read
 * @param site name of the place, a-z, 0-9 and hyphen
 * @param zone days begin at midnight here
 * @param storeFile the log
 * @param store how the log is kept
 * @param packs all packs, at least one
 * @param banks packs that share a bus
 * @param mqtt the broker, if one is wanted
 * @param page the local page, if one is wanted
 * @param deadMan where to say that all is well, if wanted
 * @param commands programs to run on critical events
 * @param morning when the day's line is told, if wanted
 * @param forward how the log is handed over to a centre, if it is
 */
public record Config(
    Path file,
    String site,
    ZoneId zone,
    Path storeFile,
    StoreSettings store,
    List<PackConfig> packs,
    List<Bank> banks,
    Optional<MqttSettings> mqtt,
    Optional<PageSettings> page,
    Optional<DeadMan> deadMan,
    List<List<String>> commands,
    Optional<Morning> morning,
    Optional<ForwardSettings> forward) {

  public Config {
    packs = List.copyOf(packs);
    banks = List.copyOf(banks);
    commands = List.copyOf(commands);
  }

  /** The same with nobody told but the broker and the centre: a test needs no page. */
  public Config withBrokerAlone() {
    return new Config(
        file,
        site,
        zone,
        storeFile,
        store,
        packs,
        banks,
        mqtt,
        Optional.empty(),
        Optional.empty(),
        List.of(),
        Optional.empty(),
        forward);
  }

  /** The same as a site that hands its log over, under the name that it has there. */
  public Config forwarding(ForwardSettings to) {
    return new Config(
        file,
        to.lane().site(),
        zone,
        storeFile,
        store,
        packs,
        banks,
        mqtt,
        page,
        deadMan,
        commands,
        morning,
        Optional.of(to));
  }

  /**
   * Packs that share one bus.
   *
   * @param id a-z, 0-9 and hyphen
   * @param packs ids of its packs
   */
  public record Bank(String id, List<String> packs) {
    public Bank {
      packs = List.copyOf(packs);
    }
  }

  /**
   * Where to say "still well", for a listener elsewhere. Not a record: the address is a secret and
   * must not show in any text.
   */
  public static final class DeadMan {
    private final URI address;
    private final int everySeconds;

    public DeadMan(URI address, int everySeconds) {
      this.address = address;
      this.everySeconds = everySeconds;
    }

    /** The address, never printed. */
    public URI address() {
      return address;
    }

    public int everySeconds() {
      return everySeconds;
    }
  }

  /**
   * When the day's line is told.
   *
   * @param at local time
   * @param run program and arguments that are told too; empty for none
   */
  public record Morning(LocalTime at, List<String> run) {
    public Morning {
      run = List.copyOf(run);
    }
  }
}
