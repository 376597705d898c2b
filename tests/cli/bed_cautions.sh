# What the bed's cautions say of a tray worked from both sides: a face taken too deep, a hole deeper
# than the tray, and a shank that meets a hold-down in the fixing with the under face up. They
# stand with the others in the summary and in plan.json.
mkdir tray
cat >tray/parts.csv <<'END'
part,per_set,length,width,thickness,wood,way,faced,hold
tray,1,200,80,18,walnut,blank,one,ends
END
cat >tray/rack.csv <<'END'
stock,kind,wood,length,width,thickness
W1,plank,walnut,900,215,21
END
cat >tray/clamps.csv <<'END'
clamp,kind,count,width,over,beside,height,height_from,force
down,hold-down,4,30,15,25,8,stock,300
END
cat >tray/cutters.csv <<'END'
cutter,diameter,flute_length,flutes,rpm,feed,stepdown,stickout,nut_diameter,shank
flat,6,22,2,12000,900,2,40,20,20
wide,16,8,2,10000,1500,1,30,20,16
drill,5,25,2,6000,200,2,40,20,5
END
cat >tray/steps.csv <<'END'
part,step,cutter,depth,side
tray,face,wide,7,top
tray,drill,drill,28,top
tray,profile,flat,,under
END
blankwright plan tray --out out >plan.txt
sed -n '/^Cautions/,$p' plan.txt
grep -c '"name": "deeper than the part"' out/plan.json
grep -c 'deeper than the part' out/plan.html
