package org.cellherd.page;

import java.io.IOException;
import java.net.InetSocketAddress;
import java.time.ZoneId;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.function.Supplier;
import org.cellherd.alert.Acknowledger;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.news.Sink;
import org.cellherd.pack.Reading;
import org.cellherd.pack.TimeSource;

/**
 * The local web page. News comes from the herd's thread, which never waits here; requests are
 * answered by a few threads of the page's own. Methods may be called from any thread.
 */
public final class LocalPage implements AutoCloseable {

  private final Listener listener;
  private final Followers followers;
  private final LiveBoard board;
  private final Site site;

  private LocalPage(PageSettings settings, Parts parts) throws IOException {
    this.board = new LiveBoard(parts.packs(), parts.time());
    this.followers = new Followers(board, parts.site(), parts.time(), parts.zone());
    Door door = new Door(settings, parts.time());
    Shell shell =
        new Shell(parts.site(), parts.zone(), settings.reports().isPresent(), parts.time());
    this.site = new Site(settings, parts, shell, board, followers);
    Guard guard = new Guard(door, site::answer, new Login(door, shell::login));
    this.listener = new Listener(settings.listen(), guard, parts.time());
  }

  /**
   * Takes the address; who asks waits for {@link #serve}.
   *
   * @throws IOException when the address cannot be listened on
   */
  public static LocalPage open(PageSettings settings, Parts parts) throws IOException {
    return new LocalPage(settings, parts);
  }

  /**
   * Tells what was known before this run, and begins to answer.
   *
   * @param last the last reading of each pack of which one is known, shown as stale
   * @param active alerts
   * @param lately what happened to alerts, oldest first
   */
  public void serve(Map<String, Reading> last, List<Alert> active, List<AlertEvent> lately) {
    last.forEach(board::remember);
    active.forEach(board::standing);
    board.recall(lately);
    listener.start(site::rehearse);
  }

  /** Takes the news that it shows. */
  public Sink news() {
    return board;
  }

  public InetSocketAddress address() {
    return listener.address();
  }

  @Override
  public void close() {
    followers.close();
    listener.close();
  }

  /**
   * What a page needs of the program around it.
   *
   * @param site name of the place
   * @param program name and version
   * @param packs in the order of the config
   * @param history the log
   * @param acknowledger takes acknowledgements
   * @param health asked from any thread when figures are wanted
   * @param time the computer's clocks
   * @param zone days begin at midnight here
   */
  public record Parts(
      String site,
      String program,
      List<PagePack> packs,
      PackHistory history,
      Acknowledger acknowledger,
      Supplier<Health> health,
      TimeSource time,
      ZoneId zone) {
    public Parts {
      packs = List.copyOf(packs);
    }
  }

  /**
   * How the program itself does.
   *
   * @param logTrouble why the log cannot be written; empty while it can
   * @param brokerConnected whether the broker has us; empty without a broker
   * @param eventsWaiting events that no broker has yet, as far as they are in memory
   * @param diskFreeBytes free space where the log lies
   */
  public record Health(
      String logTrouble,
      Optional<Boolean> brokerConnected,
      OptionalLong eventsWaiting,
      OptionalLong diskFreeBytes) {

    public static final Health UNKNOWN =
        new Health("", Optional.empty(), OptionalLong.empty(), OptionalLong.empty());
  }
}
