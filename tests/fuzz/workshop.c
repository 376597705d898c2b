#include "fuzz/workshop.h"

#include <stdbool.h>
#include <string.h>
#include <unistd.h>

#include "fuzz/fuzz.h"

static const struct {
  const char *name, *text;
} files[] = {
    {"shop.csv", "setting,value\nsets,3\nglue_up,yes\nresaw,yes\nlabour_rate,24\nspoilage,5 %\n"},
    {"parts.csv",
     "part,per_set,length,width,thickness,wood,grain,way,shape,faced,hold,tabs,match,fit\n"
     "board,1,240,72,18,walnut|cherry,along,blank,,one,auto,,,0.5\n"
     "lid,2,138,34,5,walnut,along,gang,,two,ends,2,,\n"
     "disc,1,60,60,5,any,any,gang,round,none,tape,,,\n"
     "slat,3,300,40,21,walnut,along,saw,,none,,,A,\n"
     "wide,1,400,260,18,walnut,along,saw,,one,,,,\n"
     "floor,1,200,120,6,birch,across,saw,,none,,,,\n"},
    {"rack.csv",
     "stock,kind,wood,length,width,thickness,count,value,surface,face_grain,crook\n"
     "W1,plank,walnut,1830,215,21,2,52,rough,,2\n"
     "W2,plank,cherry,640,110,22,1,9.50,planed,,\n"
     "W3,plank,walnut,900,120,7,1,12,planed,,\n"
     "S1,sheet,birch,600,600,6,1,11,,width,\n"},
    {"yard.csv",
     "stock,kind,wood,length,width,thickness,price,per,count,pack,tally_thickness,supplier\n"
     "Y1,plank,walnut,2440,150,21,15.00,m,,1,,north\n"
     "Y2,plank,maple,1200,120,27,8.25,bf,4,2,32,south\n"},
    {"flaws.csv",
     "stock,copy,x,y,length,width,what,rim_ok\nW1,1,640,60,40,35,knot,no\nW2,,0,70,12,3,split,"
     "yes\n"},
    {"clamps.csv",
     "clamp,kind,count,width,over,beside,height,height_from,min_stock,max_stock,force\n"
     "hold-down A,hold-down,6,25,15,25,12,stock,3,40,300\n"
     "side push,side,6,30,0,30,8,bed,10,,70 lbf\n"},
    {"cutters.csv",
     "cutter,diameter,flute_length,flutes,rpm,feed,plunge,stepdown,stepover,stickout,nut_diameter,"
     "slot,angle\n"
     "flat6,6,25,2,12000,900,250,2,2.4,36,20,1,\n"
     "flat3,3,12,2,12000,700,200,1.2,1.2,22,20,,\n"
     "drill3,3.2,25,2,6000,200,200,3,,40,20,,118\n"
     "vee90,10,5,2,12000,800,200,1,,25,20,,90\n"},
    {"steps.csv",
     "part,step,cutter,depth,area,path,count,peck,side,stand,place\n"
     "board,pocket,flat6,5.2,4778,,1,,under,,\n"
     "board,drill,drill3,9,,,126,3,top,,\n"
     "board,drill,drill3,20,,,2,,top,edge,\n"
     "board,chamfer,vee90,0.8,,624,1,,top,,\n"
     "board,profile,flat6,,,,1,,top,,\n"
     "lid,face,flat6,,,,1,,top,,\n"
     "lid,profile,flat3,,,,1,,top,,\n"
     "disc,profile,flat3,,,,1,,top,,\n"
     "wide,drill,drill3,30,,,4,,top,,drill press\n"},
    {"bought.csv", "item,per_set,pack,price\npeg,6,100,9.50\nmagnet,2,50,12.00\n"},
    {"money.csv",
     "item,value\nprice,76\nfinish_per_set,1.10\npacking_per_set,1.40\nstall_fee,95\n"
     "selling_hours,8\npayment_percent,2.5\ndemand_low,1\ndemand_likely,4\ndemand_high,12\n"
     "unsold_value,25\n"},
};
enum { FILES = sizeof files / sizeof files[0] };

static char folder[4096];

static void path_of(char *path, size_t room, const char *file) {
  int length = snprintf(path, room, "%s/%s", folder, file);
  must(length > 0 && (size_t)length < room);
}

static void remove_folder(void) {
  char path[sizeof folder + 64];
  for (size_t i = 0; i < FILES; i++) {
    path_of(path, sizeof path, files[i].name);
    (void)unlink(path);
  }
  (void)rmdir(folder);
}

const char *workshop_folder(void) {
  if (folder[0] != '\0') return folder;
  const char *base = getenv("TMPDIR");
  bool given = base != NULL && base[0] != '\0';
  int length = snprintf(folder, sizeof folder, "%s/workshop-XXXXXX", given ? base : "/tmp");
  must(length > 0 && (size_t)length < sizeof folder);
  must(mkdtemp(folder) != NULL);
  must(atexit(remove_folder) == 0);
  for (size_t i = 0; i < FILES; i++)
    workshop_put(files[i].name, files[i].text, strlen(files[i].text));
  return folder;
}

void workshop_put(const char *file, const void *bytes, size_t size) {
  char path[sizeof folder + 64];
  path_of(path, sizeof path, file);
  FILE *stream = fopen(path, "wb");
  must(stream != NULL);
  must(size == 0 || fwrite(bytes, 1, size, stream) == size);
  must(fclose(stream) == 0);
}
