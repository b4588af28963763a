package org.cellherd.app.campaign.fault;

import java.util.Random;
import java.util.Set;
import org.cellherd.app.campaign.stage.Strangers;

/** What strangers do at the page, while its owner asks as always. */
public enum PageFault implements CampaignFault {
  HALF_REQUESTS((s, r) -> s.hold(3 + r.nextInt(20), "GET / HTTP/1.1\r\nHost: 127")),
  IDLE_CONNECTIONS((s, r) -> s.hold(20 + r.nextInt(60), "")),
  HALF_BODIES(
      (s, r) ->
          s.hold(
              3 + r.nextInt(20),
              "POST /api/seen HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\n"
                  + "Content-Length: 900\r\n\r\n{")),
  WRONG_TOKENS((s, r) -> s.ask(30 + r.nextInt(40), i -> "/?token=wrong" + i, "127.0.0.1")),
  TRAVERSAL((s, r) -> s.ask(20, i -> "/reports/" + "..%2f".repeat(i) + "etc/passwd", "127.0.0.1")),
  OTHER_HOST((s, r) -> s.ask(20, i -> "/", "evil.example")),
  HUGE_HEADERS((s, r) -> s.hold(3, "GET / HTTP/1.1\r\nX: " + "a".repeat(200_000) + "\r\n\r\n")),
  NO_HTTP((s, r) -> s.hold(10, "\u0016\u0003\u0001\u0002\u0000\u0001\u0000")),
  FOLLOWERS_THAT_NEVER_READ(
      (s, r) -> s.hold(3 + r.nextInt(20), "GET /api/events HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n"));

  private interface Deed {
    AutoCloseable by(Strangers strangers, Random random) throws Exception;
  }

  private final Deed deed;

  PageFault(Deed deed) {
    this.deed = deed;
  }

  @Override
  public FaultFamily family() {
    return FaultFamily.PAGE;
  }

  /** A process that is frozen or starved answers its owner as little as anybody. */
  @Override
  public Set<FaultFamily> apartFrom() {
    return Set.of(FaultFamily.PROCESS);
  }

  @Override
  public boolean isRealOnly() {
    return true;
  }

  @Override
  public Strike strike() {
    return (world, random) -> {
      Strangers strangers = world.site().strangers();
      AutoCloseable held = deed.by(strangers, random);
      if (world.site().child().isSettled()) {
        strangers
            .ownerLooks()
            .ifPresent(problem -> world.complaints().accept(name() + ": " + problem));
      }
      return held::close;
    };
  }
}
