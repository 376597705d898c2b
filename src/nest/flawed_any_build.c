#include "nest/flawed_any_build.h"

struct builder {
  struct arena *arena;
  struct flaw_memo *memo;
  cost_t worth; /* built so far; more than was noted where a part was looked into again later */
  bool failed;
};

/* Cuts `node` down to a box inside it along one direction; returns what is left. */
static struct node *trim_along(struct builder *builder, struct node *node, enum division along,
                               length_t low, length_t high) {
  length_t kerf = builder->memo->kerf[along];
  length_t before = low - (along == DIVIDE_LENGTH ? node->x : node->y);
  length_t extents[2] = {before - kerf, high - low};
  if (before > 0 && before < kerf) builder->failed = true;
  if (builder->failed) return node;
  bool shifted = before > 0;
  struct node *children = cutting_divide(builder->arena, node, along, kerf,
                                         shifted ? extents : extents + 1, shifted ? 2 : 1);
  return children == NULL ? node : &children[shifted ? 1 : 0];
}

static void build_part(struct builder *builder, const struct flaw_part *part, struct node *node);

static void build_side(struct builder *builder, const struct flaw_box *box, struct node *node) {
  struct flaw_part part = flaw_memo_part(builder->memo, box);
  if (part.entry != FLAW_NO_ENTRY || part.bound[0] > 0) build_part(builder, &part, node);
}

static void build_cut(struct builder *builder, const struct flaw_entry *entry, enum division along,
                      const struct flaw_box *box, struct node *node) {
  length_t kerf = builder->memo->kerf[along];
  length_t low = box->low[along];
  length_t high = box->high[along];
  struct flaw_box first = *box;
  struct flaw_box second = *box;
  first.high[along] = entry->end[along];
  second.low[along] = entry->start[along];
  bool two = entry->start[along] < high;
  length_t extents[2] = {(two ? entry->start[along] - kerf : entry->end[along]) - low,
                         high - entry->start[along]};
  struct node *children = cutting_divide(builder->arena, node, along, kerf, extents, two ? 2 : 1);
  if (children == NULL) children = node;
  if (entry->end[along] > low) build_side(builder, &first, &children[0]);
  if (two) build_side(builder, &second, &children[1]);
}

static void build_part(struct builder *builder, const struct flaw_part *part, struct node *node) {
  node = trim_along(builder, node, DIVIDE_LENGTH, part->box.low[0], part->box.high[0]);
  node = trim_along(builder, node, DIVIDE_WIDTH, part->box.low[1], part->box.high[1]);
  if (builder->failed) return;
  if (part->entry == FLAW_NO_ENTRY) {
    unstaged_build_inside(builder->arena, builder->memo->table, node);
    builder->worth += unstaged_worth(builder->memo->table, node->length, node->width);
    return;
  }
  const struct flaw_entry entry = builder->memo->entries[part->entry];
  enum division along = entry.worth[0] >= entry.worth[1] ? DIVIDE_LENGTH : DIVIDE_WIDTH;
  if (entry.worth[along] <= 0) return;
  if (entry.start[along] > 0) {
    build_cut(builder, &entry, along, &part->box, node);
    return;
  }
  size_t piece = flaw_memo_piece(builder->memo, &part->box);
  const struct nest_option *option = &builder->memo->stock->options[piece];
  builder->worth += builder->memo->option_worth[piece];
  node->kind = NODE_PIECE;
  node->blank = option->blank;
  node->turned = option->turned;
}

cost_t flawed_any_build(struct arena *arena, struct flaw_memo *memo, const struct flaw_part *whole,
                        struct node *root) {
  const struct nest_stock *stock = memo->stock;
  struct builder builder = {arena, memo, 0, false};
  *root = (struct node){.kind = NODE_WASTE, .length = stock->length, .width = stock->width};
  if (whole->entry != FLAW_NO_ENTRY || whole->bound[0] > 0) build_part(&builder, whole, root);
  cutting_tidy(root, stock);
  if (!builder.failed) return builder.worth;
  *root = (struct node){.kind = NODE_WASTE, .length = stock->length, .width = stock->width};
  return 0;
}
