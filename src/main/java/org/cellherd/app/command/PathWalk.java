package org.cellherd.app.command;

import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import org.cellherd.app.FileCause;

/** Follows a path name by name, links too, as the system does for a user. One walk; one thread. */
final class PathWalk {

  /** As Linux has it. */
  private static final int MOST_LINKS = 40;

  private final UserAccount who;
  private final List<Path> passed = new ArrayList<>();
  private final Deque<Path> ahead = new ArrayDeque<>();
  private Path at = Path.of("/");
  private int links;

  PathWalk(UserAccount who) {
    this.who = who;
  }

  /**
   * What lies at the end, every link followed.
   *
   * @throws Obstacle where the user does not get there
   */
  Entry end(Path path) throws Obstacle {
    path.forEach(ahead::addLast);
    Entry entry = look(at);
    while (!ahead.isEmpty()) {
      if (!entry.isFolder()) {
        throw new Obstacle(entry.path() + " is not a folder");
      }
      if (!entry.isOpenTo(who)) {
        throw new Obstacle(
            "the user %s may not enter the folder %s (%s)"
                .formatted(who.name(), entry.path(), entry.modeWords()));
      }
      entry = step(ahead.removeFirst());
    }
    return entry;
  }

  /** Everything that was passed on the way, the end included. */
  List<Path> passed() {
    return passed;
  }

  private Entry step(Path name) throws Obstacle {
    if (name.toString().equals("..")) {
      Path parent = at.getParent();
      at = parent == null ? at : parent;
    } else if (!name.toString().equals(".")) {
      Entry next = look(at.resolve(name));
      if (next.isLink()) {
        follow(next.path());
      } else {
        at = next.path();
      }
    }
    return look(at);
  }

  private void follow(Path link) throws Obstacle {
    if (++links > MOST_LINKS) {
      throw new Obstacle(link + " is one link too many, perhaps a ring");
    }
    try {
      Path target = Files.readSymbolicLink(link);
      List<Path> names = new ArrayList<>();
      target.forEach(names::add);
      for (int i = names.size() - 1; i >= 0; i--) {
        ahead.addFirst(names.get(i));
      }
      at = target.isAbsolute() ? Path.of("/") : at;
    } catch (IOException gone) {
      throw new Obstacle(link + ": " + FileCause.of(link, gone));
    }
  }

  private Entry look(Path path) throws Obstacle {
    passed.add(path);
    try {
      return Entry.of(path);
    } catch (NoSuchFileException missing) {
      throw new Obstacle(path + " does not exist");
    } catch (AccessDeniedException hidden) {
      throw new Obstacle(path + " cannot be seen by who runs this check; run it as root");
    } catch (IOException unreadable) {
      throw new Obstacle(path + ": " + FileCause.of(path, unreadable));
    }
  }

  /** Why a user does not get to the end of a path. */
  static final class Obstacle extends Exception {
    private static final long serialVersionUID = 1L;

    Obstacle(String why) {
      super(why);
    }

    String why() {
      return String.valueOf(getMessage());
    }
  }
}
